//! What must hold on every chart, whatever the hour, the size and the zoom.

use std::collections::BTreeMap;

use potwatch::run::Phase;
use potwatch::screen::chart::{self, Zoom};
use potwatch::screen::{Ground, Hit, Look, Page, Sel, Ui, draw, next_change_ms};
use proptest::prelude::*;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::fixture::{LOOKS, Show};

fn rows(buf: &Buffer) -> Vec<String> {
    let row = |y| (0..buf.area.width).map(|x| buf[(x, y)].symbol()).collect();
    (0..buf.area.height).map(row).collect()
}

fn drawn(show: &Show, ui: &Ui, look: Look, width: u16, height: u16) -> (Buffer, Vec<(Rect, Sel)>) {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    let hits = draw(area, &mut buf, &show.scene(look), ui);
    let blocks = hits
        .places()
        .iter()
        .filter_map(|(place, hit)| match hit {
            Hit::Block(sel) => Some((*place, *sel)),
            _ => None,
        })
        .collect();
    (buf, blocks)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]
    #[test]
    fn blocks_never_overlap_and_keep_their_letter(
        minute in 0_i64..480,
        width in 60_u16..260,
        height in 18_u16..80,
        zoom in prop::sample::select(vec![Zoom::Close, Zoom::Wide, Zoom::Whole]),
        all_lanes in any::<bool>(),
        look in 0_usize..5,
    ) {
        let show = Show::at((13 + minute / 60, minute % 60, 7));
        let ui = Ui { zoom, all_lanes, ..Ui::default() };
        let (buf, blocks) = drawn(&show, &ui, LOOKS[look].1, width, height);
        for (i, (a, x)) in blocks.iter().enumerate() {
            for (b, y) in &blocks[i + 1..] {
                prop_assert!(!a.intersects(*b), "{x:?} at {a} and {y:?} at {b}");
            }
            let dish = match x { Sel::Step(key) => key.dish, Sel::Hold(dish) => *dish };
            let letter = show.supper.evening.sheets[dish].letter.to_string();
            let shown = (a.x..a.right()).any(|c| buf[(c, a.y)].symbol() == letter);
            prop_assert!(shown, "no {letter} at {a}: {}", rows(&buf)[usize::from(a.y)]);
        }
    }

    #[test]
    fn the_line_of_now_is_one_column_through_all_lanes(
        second in 0_i64..28_800,
        width in 60_u16..260,
        height in 18_u16..80,
        zoom in prop::sample::select(vec![Zoom::Close, Zoom::Wide]),
    ) {
        let show = Show::at((13, 0, second));
        let ui = Ui { zoom, ..Ui::default() };
        let (buf, _) = drawn(&show, &ui, LOOKS[0].1, width, height);
        let rows = rows(&buf);
        let head = rows.iter().position(|r| r.contains('▼')).expect("a time scale");
        let column = |row: &str, sign: char| row.chars().position(|c| c == sign);
        let at = column(&rows[head], '▼').expect("just seen");
        let mut lanes = 0;
        for row in &rows[head + 1..] {
            if let Some(x) = column(row, '┃') {
                prop_assert_eq!(x, at);
                lanes += 1;
            }
        }
        prop_assert!(lanes >= 6, "{} lanes", lanes);
        // The formula: a fifth of the columns behind the names of the lanes; or further on,
        // where the window ends with the party.
        let scene = show.scene(LOOKS[0].1);
        let lanes = chart::lanes(scene.evening, scene.plan, scene.view);
        let fits = (1..width).any(|columns| {
            let window = chart::window_for(&scene, &ui, &lanes, columns);
            let (_, last) = chart::extent(scene.evening, scene.plan, show.view.now_ms);
            let at_end = window.to_ms() > last && window.to_ms() - window.step_ms <= last;
            let Some(now) = window.column(show.view.now_ms) else { return false };
            (now == columns / 5 || now > columns / 5 && at_end)
                && usize::from(width - columns) + usize::from(now) == at
        });
        prop_assert!(fits);
    }

    #[test]
    fn the_picture_changes_when_it_says_and_not_before(second in 0_i64..28_800) {
        let mut show = Show::at((13, 0, second));
        show.view.next_change_ms = i64::MAX;
        let (before, _) = drawn(&show, &Ui::default(), LOOKS[0].1, 100, 30);
        let next = next_change_ms(&show.scene(LOOKS[0].1), &Ui::default());
        prop_assert!(next > show.view.now_ms);
        for at in [(show.view.now_ms + next) / 2, next - 1] {
            show.view.now_ms = at;
            let (after, _) = drawn(&show, &Ui::default(), LOOKS[0].1, 100, 30);
            prop_assert_eq!(rows(&before), rows(&after));
        }
    }
}

/// Each state of a step shows by its signs alone, in plain ASCII too.
#[test]
fn states_differ_without_any_colour() {
    let phases = [
        Phase::Ahead,
        Phase::LateStart,
        Phase::Running,
        Phase::Over,
        Phase::Overdone,
        Phase::Done,
        Phase::Skipped,
    ];
    for ascii in [false, true] {
        let look = Look { ground: Ground::Mono, ascii };
        let mut seen: BTreeMap<String, Phase> = BTreeMap::new();
        for phase in phases {
            let mut show = Show::at((18, 30, 0));
            let key = show.supper.key("crumble", "bake", 0);
            show.view.phases.iter_mut().find(|p| p.0 == key).expect("a load").1 = phase;
            let (buf, blocks) = drawn(&show, &Ui::default(), look, 120, 36);
            let sel = Sel::Step(key);
            let rack = |(p, s): &&(Rect, Sel)| *s == sel && p.width > 12;
            let (place, _) = blocks.iter().find(rack).expect("the block in the oven");
            let signs: String =
                (place.x..place.right()).map(|x| buf[(x, place.y)].symbol()).collect();
            if let Some(same) = seen.insert(signs.clone(), phase) {
                panic!("{phase:?} and {same:?} look alike: {signs}");
            }
        }
    }
}

/// Every step of the plan is on the chart of the whole party: once on each slot it takes.
#[test]
fn the_whole_party_shows_every_step() {
    let show = Show::at((16, 0, 0));
    let ui = Ui { zoom: Zoom::Whole, all_lanes: true, ..Ui::default() };
    for (width, height) in [(80, 60), (120, 60), (200, 60)] {
        let (_, blocks) = drawn(&show, &ui, LOOKS[0].1, width, height);
        let scene = show.scene(LOOKS[0].1);
        let cooks = scene.evening.party.cooks.len();
        // The lanes of the cooks come first and sum up; the stations show every step.
        let lanes = chart::lanes(scene.evening, scene.plan, scene.view);
        let first = blocks.iter().map(|b| b.0.y).min().expect("a block");
        let stations = blocks.iter().filter(|(p, _)| p.y >= first + cooks as u16);
        for block in &show.supper.plan.blocks {
            let sel = Sel::Step(block.key);
            let shown = stations.clone().filter(|(_, s)| *s == sel).count();
            assert_eq!(
                shown,
                block.slots.len(),
                "{:?} at {width}, {} lanes",
                block.key,
                lanes.len()
            );
        }
    }
}

/// After a change the menu does not say of the old plan that the kitchen carries it.
#[test]
fn a_plan_from_before_a_change_vouches_for_nothing() {
    for outdated in [false, true] {
        let mut show = Show::at((16, 0, 0));
        show.view.outdated = outdated;
        let ui = Ui { page: Page::Menu, ..Ui::default() };
        let (buf, _) = drawn(&show, &ui, LOOKS[0].1, 120, 36);
        let text = rows(&buf).join("\n");
        assert_eq!(text.contains("The kitchen carries it"), !outdated, "{text}");
        assert_eq!(text.contains("The plan is from before"), outdated, "{text}");
    }
}

/// A party of tomorrow opens where its work begins, not on hours of nothing.
#[test]
fn a_party_that_lies_ahead_is_shown_from_its_first_block() {
    for zoom in [Zoom::Close, Zoom::Wide, Zoom::Whole] {
        for hours in [30, 8, 4] {
            let mut show = Show::at((13, 0, 0));
            show.view.now_ms -= hours * 3_600_000;
            let ui = Ui { zoom, ..Ui::default() };
            let (_, blocks) = drawn(&show, &ui, LOOKS[0].1, 80, 24);
            let first = show.supper.plan.blocks.iter().min_by_key(|b| b.start).expect("blocks");
            let sel = Sel::Step(first.key);
            assert!(blocks.iter().any(|(_, s)| *s == sel), "{zoom:?}, {hours} hours before");
        }
    }
}

/// Wide letters and endless titles stay in their places.
#[test]
fn wide_letters_and_long_titles_are_clipped_by_columns() {
    let mut show = Show::busy();
    for (i, sheet) in show.supper.evening.sheets.iter_mut().enumerate() {
        sheet.letter = ['南', '瓜', '汤', '面', '包', '肉', '饭', '菜', '果'][i % 9];
        sheet.recipe.title = "とても長い名前の料理".repeat(9);
        sheet.recipe.short = Some("長い\u{1b}[31m名前\n".into());
        for step in &mut sheet.recipe.steps {
            step.label = "煮込むまで待つ".into();
            step.text = "弱火で\tゆっくり煮込む。".repeat(20);
        }
    }
    show.supper.evening.party.title = "秋の近所の夕食会".repeat(10);
    for prompt in show.view.do_now.iter_mut().chain(&mut show.view.next) {
        prompt.short = "弱火で煮込む".repeat(8);
    }
    for page in potwatch::screen::Page::ALL {
        for width in 20..140 {
            let ui = Ui { page, ..Ui::default() };
            let (buf, blocks) = drawn(&show, &ui, LOOKS[width as usize % 5].1, width, 24);
            for y in 0..24 {
                let mut x = 0;
                while x < width {
                    let sign = buf[(x, y)].symbol();
                    assert!(!sign.chars().any(char::is_control));
                    let wide = potwatch::screen::text::width(sign).max(1) as u16;
                    assert!(x + wide <= width, "{page:?} {width}: {sign} at {x},{y}");
                    for half in 1..wide {
                        assert_eq!(buf[(x + half, y)].symbol(), " ", "{page:?} {width} at {x},{y}");
                    }
                    x += wide;
                }
            }
            for (place, _) in blocks {
                assert!(place.width >= 2);
            }
        }
    }
}

/// For a cook who works far off big type comes to the front once the chart was left alone; not
/// before, not over a card, and not on a day when nothing is due.
#[test]
fn big_type_comes_to_the_front_from_afar() {
    let show = Show::at((16, 0, 0));
    let page_after = |ui: &Ui, real_ms: i64| {
        let mut ui = ui.clone();
        ui.step_back(&show.view, real_ms);
        ui.page
    };
    let near = Ui { pressed_ms: Some(0), ..Ui::default() };
    let far = Ui { distance_m: Some(2), ..near.clone() };
    assert_eq!(page_after(&near, 1_000_000), Page::Chart);
    assert_eq!(page_after(&Ui { distance_m: Some(1), ..near.clone() }, 1_000_000), Page::Chart);
    assert_eq!(page_after(&far, 119_999), Page::Chart);
    assert_eq!(page_after(&far, 120_000), Page::Big);
    assert_eq!(page_after(&Ui { pressed_ms: None, ..far.clone() }, 0), Page::Big);
    assert_eq!(page_after(&Ui { page: Page::Plan, ..far.clone() }, 1_000_000), Page::Plan);
    let mut ahead = Show::at((16, 0, 0));
    ahead.view.do_now.clear();
    ahead.view.running.clear();
    ahead.view.holding.clear();
    ahead.view.next.iter_mut().for_each(|p| p.due_ms += 86_400_000);
    let mut ui = far.clone();
    ui.step_back(&ahead.view, 1_000_000);
    assert_eq!(ui.page, Page::Chart);
}

/// From farther off the words are as large as the digits leave room for: at 120x36 twice as large.
#[test]
fn words_grow_with_the_distance() {
    let show = Show::at((16, 0, 0));
    let shown = |distance_m: Option<u8>, width: u16, height: u16| {
        let ui = Ui { page: Page::Big, distance_m, ..Ui::default() };
        let (buf, _) = drawn(&show, &ui, LOOKS[0].1, width, height);
        rows(&buf)
    };
    let large = |rows: &[String]| rows.iter().filter(|r| r.contains(['█', '▀', '▄'])).count();
    for (width, height) in [(80, 24), (120, 36), (200, 60)] {
        let near = shown(None, width, height);
        assert_eq!(near, shown(Some(3), width, height));
        assert!(large(&shown(Some(4), width, height)) >= large(&near), "{width}");
    }
    let (near, far) = (shown(None, 120, 36), shown(Some(4), 120, 36));
    let bar = |rows: &[String], bar: &str| rows.iter().any(|r| r.starts_with(bar));
    assert!(bar(&near, " ▀▀█▀▀ ▄▀▀▀▄ █  ▄▀"), "TAKE at scale 1");
    assert!(bar(&far, " ██████████    ██████    ██      ██"), "TAKE at scale 2");
}
