//! Knife work in the plan: a job for all dishes that want it, before the first
//! of them needs it, nothing cut twice and nothing forgotten, whatever changes.

use std::collections::BTreeSet;
use std::path::Path;

use potwatch::kitchen::items::cut_form;
use potwatch::kitchen::{Evening, PartyChange};
use potwatch::mise::amounts;
use potwatch::mise::knife::{board, pool};
use potwatch::plan::planner::{Budget, plan_ahead};
use potwatch::plan::verify::verify;
use potwatch::plan::ways::{Change, apply};
use potwatch::plan::{Block, Plan, Situation};
use potwatch::run::{Event, Mark, State, StepId, food};
use potwatch::safety::{Profile, is_perishable};
use potwatch::store::load::load_document;
use potwatch::store::read::Document;
use potwatch::store::zone;
use serde_json::{Value, json};

/// Seven ordinary dishes for eight, one cook, one oven, hands from 16:30 and the
/// last of it on the table at 19:30.
fn seven() -> Value {
    let dish = |id: &str, recipe: &str, service: &str| json!({"id": id, "recipe": recipe, "servings": 8, "service": service});
    json!({
        "id": "seven", "title": "Seven dishes", "day": "2026-11-25", "kitchen": "home",
        "pool_knife_work": true,
        "services": [
            {"id": "starters", "title": "Starters", "at": "18:45"},
            {"id": "supper", "title": "Supper", "at": "19:30"}],
        "dishes": [
            dish("soup", "lentil-soup", "starters"),
            dish("peas", "minted-peas", "supper"),
            dish("salmon", "salmon-crumbs", "supper"),
            dish("rice", "herb-rice", "supper"),
            dish("sprouts", "crisp-sprouts", "supper"),
            dish("sauce", "herb-sauce", "supper"),
            dish("crumble", "pear-crumble", "supper")],
        "cooks": [{"id": "ann", "name": "Ann", "free": [{"from": "16:30", "to": "20:00"}]}],
        "guests": [{"name": "the walkers", "count": 8}]
    })
}

fn loaded(party: &Value) -> Evening {
    let document = Document::parse("seven.json", &party.to_string()).expect("JSON");
    let loaded = load_document(document, Path::new(""), None, zone::clockface);
    loaded.unwrap_or_else(|p| panic!("{p}")).evening
}

/// Ids of the jobs that a dish asks for, as the mise has them.
fn asked(evening: &Evening, dropped: &[usize]) -> BTreeSet<(usize, String)> {
    let cut = amounts::of_made(evening, dropped).into_iter().filter_map(|p| {
        let item = p.item().map_or(p.ingredient.item.as_str(), |i| i.name.as_str());
        let form = cut_form(p.ingredient.cut.as_deref()?);
        Some((p.dish, format!("{}, {form}", item.to_lowercase())))
    });
    cut.collect()
}

/// Everything is cut once: in one job each, which every step that wants it follows.
fn check_jobs(evening: &Evening, dropped: &[usize]) {
    for (dish, id) in asked(evening, dropped) {
        let sheet = &evening.sheets[dish];
        let owners: Vec<(usize, &str)> = evening
            .sheets
            .iter()
            .enumerate()
            .flat_map(|(d, s)| s.jobs.iter().map(move |j| (d, j)))
            .filter(|(_, j)| j.job == id && j.dishes.contains(&sheet.id))
            .map(|(d, j)| (d, j.step.as_str()))
            .collect();
        assert_eq!(owners.len(), 1, "{} of {}: {owners:?}", id, sheet.id);
        let (owner, step) = owners[0];
        assert!(evening.sheets[owner].step_index(step).is_some(), "{step}");
        let follows = match owner == dish {
            true => sheet.recipe.steps.iter().any(|s| s.after.iter().any(|a| a.step == step)),
            false => sheet.waits_for.iter().any(|w| w.job == step),
        };
        assert!(follows, "{}: nothing follows {step}", sheet.id);
    }
}

fn planned(evening: &Evening) -> Plan {
    let budget = Budget { seed: 1, rounds: 1_000, stop: &|| false };
    plan_ahead(evening, &budget, &mut |_| {}).expect("a plan")
}

/// Common practice, no source: one cook with one oven brings seven ordinary
/// party dishes to the table within three hours.
#[test]
fn seven_dishes_are_on_the_table_within_three_hours_knife_work_and_all() {
    let evening = loaded(&seven());
    check_jobs(&evening, &[]);
    let mise = pool(&evening);
    assert!(mise.saved_minutes() >= 5, "{} min saved", mise.saved_minutes());
    let plan = planned(&evening);
    let from = plan.blocks.iter().map(|b| b.start).min().expect("blocks");
    let last = plan.services.iter().map(|s| s.due).max().expect("services");
    assert!(last - from <= 180, "{} minutes", last - from);
    assert_eq!(plan.cost.late, 0, "{:?}", plan.cost);
    // The jobs are blocks of the plan, each before all that wants it.
    let mut minutes = 0;
    for (d, sheet) in evening.sheets.iter().enumerate() {
        for job in &sheet.jobs {
            let step = sheet.step_index(&job.step).expect("a step");
            let block = plan.blocks.iter().find(|b| b.key.dish == d && b.key.step == step);
            let block = block.unwrap_or_else(|| panic!("{} is not planned", job.step));
            minutes += block.end - block.start;
        }
        for wait in evening.waits_across(d) {
            let of = |dish, step| {
                plan.blocks.iter().filter(move |b| b.key.dish == dish && b.key.step == step)
            };
            let ready = of(wait.from_dish, wait.from_step).map(|b| b.end).max().expect("cut");
            assert!(of(d, wait.step).all(|b| b.start >= ready));
        }
    }
    let shared = evening.sheets.iter().flat_map(|s| &s.jobs).filter(|j| j.dishes.len() > 1);
    assert!(shared.count() >= 3, "dishes share jobs");
    let pooled = i32::try_from(mise.pooled_minutes).expect("minutes");
    assert!(minutes >= pooled, "{minutes} min planned, {pooled} min in the mise");
    // Another program's check of the same: a step before its knife work is refused.
    let (d, wait) = (0..evening.sheets.len())
        .find_map(|d| evening.waits_across(d).next().map(|w| (d, w)))
        .expect("a wait");
    let situation = Situation::default();
    let profile = Profile::by_id(&evening.party.guidance).expect("guidance");
    verify(&evening, &situation, profile, &plan).expect("a sound plan");
    let cut =
        plan.blocks.iter().filter(|b| (b.key.dish, b.key.step) == (wait.from_dish, wait.from_step));
    let ready = cut.map(|b| b.end).max().expect("cut");
    let mut slipped = plan.clone();
    let of_step = |b: &&mut Block| (b.key.dish, b.key.step) == (d, wait.step);
    let block = slipped.blocks.iter_mut().find(of_step).expect("a block");
    (block.start, block.end) = (ready - 1, ready - 1 + block.end - block.start);
    let faults = verify(&evening, &situation, profile, &slipped).expect_err("a slip");
    assert!(faults.iter().any(|f| f.to_string().contains("starts before cut-")), "{faults:?}");
}

#[test]
fn a_party_that_does_not_ask_for_it_has_no_jobs() {
    let mut party = seven();
    party["pool_knife_work"] = json!(false);
    let evening = loaded(&party);
    assert!(evening.sheets.iter().all(|s| s.jobs.is_empty() && s.waits_for.is_empty()));
    let pooled = loaded(&seven());
    for (plain, with) in evening.sheets.iter().zip(&pooled.sheets) {
        let jobs = with.jobs.len();
        assert_eq!(plain.recipe.steps.len() + jobs, with.recipe.steps.len());
        assert_eq!(
            with.recipe.steps[with.last_step()].id,
            plain.recipe.steps[plain.last_step()].id
        );
    }
}

#[test]
fn knife_work_that_a_recipe_has_as_a_step_is_not_counted_twice() {
    let mut party = seven();
    let text = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/assets/recipes/minted-peas.json"
    ));
    let mut peas: Value = serde_json::from_str(&text.expect("there")).expect("JSON");
    let of = |evening: &Evening| -> Vec<String> {
        evening.sheets.iter().flat_map(|s| &s.jobs).map(|j| j.job.clone()).collect()
    };
    let before = of(&loaded(&party));
    assert!(before.iter().any(|j| j.starts_with("lettuce, shredded")), "{before:?}");
    let step = peas["ingredients"].as_array().expect("ingredients").iter();
    let step = step.filter(|i| i["item"] == "lettuce").find_map(|i| i["steps"][0].as_str());
    let step = step.expect("a step").to_owned();
    for s in peas["steps"].as_array_mut().expect("steps") {
        if s["id"] == step.as_str() {
            s["text"] = json!("Shred the lettuce; stir it in.");
        }
    }
    party["dishes"][1]["recipe"] = peas;
    let after = of(&loaded(&party));
    assert!(!after.iter().any(|j| j.starts_with("lettuce, shredded")), "{after:?}");
    assert_eq!(after.len() + 1, before.len());
}

/// A small generator (xorshift64*).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        ((self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) as usize) % sides
    }
}

/// Whatever changes while the board is in use: what is made is cut once, and a
/// job that has begun keeps its place among the steps of its dish.
#[test]
fn changes_of_the_evening_lose_no_knife_work() {
    let evening = std::sync::Arc::new(loaded(&seven()));
    for seed in 1..20 {
        let mut dice = Dice(seed * 7919);
        let mut state = State::new(std::sync::Arc::clone(&evening));
        let mut begun: BTreeSet<(usize, usize, String)> = BTreeSet::new();
        for seq in 1..14 {
            let now = State::evening(&state).clone();
            let dish = dice.roll(now.sheets.len());
            let id = now.sheets[dish].id.clone();
            let event = match dice.roll(6) {
                0 => Event::ServingsChanged { dish: id, servings: 4 + dice.roll(20) as u32 },
                1 => Event::DishDropped { dish: id },
                2 => Event::DishBack { dish: id },
                3 => {
                    let change = PartyChange::Swapped {
                        dish: id,
                        item: "onion".into(),
                        by: (dice.roll(2) == 0).then(|| "leek".into()),
                    };
                    Event::PartyChanged { change }
                }
                _ if now.sheets[dish].jobs.is_empty() => continue,
                _ => {
                    let jobs = &now.sheets[dish].jobs;
                    let step = jobs[dice.roll(jobs.len())].step.clone();
                    if state.is_dropped(dish) {
                        continue;
                    }
                    let at = now.sheets[dish].step_index(&step).expect("a step");
                    begun.insert((dish, at, step.clone()));
                    let id = StepId { dish: id, step, load: 0 };
                    let station = "counter".to_owned();
                    Event::Started { id, way: 0, station, cook: None, ago_minutes: 0 }
                }
            };
            let at_ms = evening.face.ms_of(17 * 60) + i64::from(seq) * 60_000;
            state.apply(&Mark { seq: seq as u64, at_ms, event });
            let dropped: Vec<usize> = state.facts().dropped.keys().copied().collect();
            check_jobs(state.evening(), &dropped);
            for (dish, at, step) in &begun {
                assert_eq!(state.evening().sheets[*dish].step_index(step), Some(*at), "{seed}");
            }
        }
    }
}

/// What is tried stands as the mark would leave it: shared jobs for those that are still made.
#[test]
fn a_dish_that_is_tried_away_leaves_the_board_as_one_that_is_dropped() {
    let evening = std::sync::Arc::new(loaded(&seven()));
    let mut fewer = 0;
    for dish in 0..evening.sheets.len() {
        let id = evening.sheets[dish].id.clone();
        for (change, event) in [
            (Change::Drop { dish }, Event::DishDropped { dish: id.clone() }),
            (
                Change::Servings { dish, servings: 19 },
                Event::ServingsChanged { dish: id.clone(), servings: 19 },
            ),
        ] {
            let drops = matches!(change, Change::Drop { .. });
            let slower = Change::Slower { station: 0, percent: 10 };
            let situation = Situation::default();
            let tried = apply(&evening, &situation, std::slice::from_ref(&change), board::settle)
                .expect("it");
            let mut state = State::new(std::sync::Arc::clone(&evening));
            let at_ms = evening.face.ms_of(15 * 60);
            state.apply(&Mark { seq: 1, at_ms, event });
            assert_eq!(tried.evening.sheets, state.evening().sheets, "{id}");
            check_jobs(&tried.evening, if drops { std::slice::from_ref(&dish) } else { &[] });
            let count = |e: &Evening| e.sheets.iter().map(|s| s.jobs.len()).sum::<usize>();
            fewer += usize::from(count(&tried.evening) < count(&evening));
            // In either order what is slower stays so.
            let before = [slower.clone(), change.clone()];
            let after = [change.clone(), slower];
            let tried = |c: &[Change]| apply(&evening, &situation, c, board::settle).expect("both");
            assert_eq!(tried(&before).evening, tried(&after).evening, "{id}");
            assert_ne!(tried(&after).evening.sheets, state.evening().sheets);
        }
    }
    assert!(fewer > 0, "no job went with its dish");
}

#[test]
fn settling_twice_changes_nothing() {
    let evening = loaded(&seven());
    let mut again = evening.clone();
    board::settle(&mut again, &[], &|_, _| false);
    assert_eq!(again, evening);
    let first = evening.sheets[0].jobs[0].step.clone();
    board::settle(&mut again, &[], &|dish, step| dish == 0 && step == first);
    assert_eq!(again, evening);
}

/// However the dishes are ordered and pooled: what is cut cold is out from the cut on, for its own dish; and a dish that
/// nothing heats afterwards has what it shares among its own steps, where its clock runs.
#[test]
fn no_order_of_pooling_makes_a_clock_smaller_than_the_time_that_food_is_out() {
    let mut cold = 0;
    for seed in 1..12 {
        let mut dice = Dice(seed * 104_729);
        let mut party = seven();
        let dishes = party["dishes"].as_array_mut().expect("dishes");
        for at in (1..dishes.len()).rev() {
            dishes.swap(at, dice.roll(at + 1));
        }
        for dish in dishes.iter_mut() {
            dish["service"] = json!(["starters", "supper"][dice.roll(2)]);
        }
        let evening = std::sync::Arc::new(loaded(&party));
        check_jobs(&evening, &[]);
        for (owner, sheet) in evening.sheets.iter().enumerate() {
            let safety = &sheet.recipe.safety;
            let perishable = is_perishable(safety.class, safety.exempt);
            for job in sheet.jobs.iter().filter(|j| sheet.cuts_cold(&j.step)) {
                assert_eq!(job.dishes.len(), 1, "{}: cold food is cut dish by dish", job.job);
                let mut state = State::new(std::sync::Arc::clone(&evening));
                let id = StepId { dish: sheet.id.clone(), step: job.step.clone(), load: 0 };
                let station = "counter".to_owned();
                let event = Event::Started { id, way: 0, station, cook: None, ago_minutes: 0 };
                let at_ms = evening.face.ms_of(17 * 60);
                state.apply(&Mark { seq: 1, at_ms, event });
                let minutes = 5 + i64::try_from(dice.roll(50)).expect("small");
                let standing = food::standing(&state, owner, at_ms + minutes * 60_000);
                assert_eq!(standing.is_some(), perishable, "{}", job.job);
                if let Some(standing) = standing {
                    assert!(standing.used_ms >= minutes * 60_000, "{}: {standing:?}", job.job);
                    cold += 1;
                }
            }
            for wait in evening.waits_across(owner).filter(|_| perishable) {
                let mut with = BTreeSet::from([wait.step]);
                while let Some(next) = sheet.recipe.steps.iter().enumerate().find(|(n, s)| {
                    let follows = |a: &potwatch::kitchen::After| {
                        sheet.step_index(&a.step).is_some_and(|b| with.contains(&b))
                    };
                    !with.contains(n) && s.after.iter().any(follows)
                }) {
                    with.insert(next.0);
                }
                let heated = with
                    .iter()
                    .any(|&n| sheet.recipe.steps[n].ways.iter().all(|w| w.station.heats()));
                assert!(heated, "{} waits for what its clock does not see", sheet.id);
            }
        }
    }
    assert!(cold > 20, "{cold} clocks were looked at");
}
