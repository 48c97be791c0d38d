//! Whole recipes out of texts of our own making.

use super::{Draft, draft};
use crate::bring::read;
use crate::kitchen::{FoodClass, HoldClass, Recipe, StationKind, WaitPlace, check};

const LEEK_BAKE: &str = "Leek and barley bake\nServes 8\n\nIngredients\n\
    2 kg leeks, sliced\n250 g barley\n3 eggs, beaten\n200 ml cream\n80 g hard cheese, grated\nsalt, to taste\n\n\
    Method\n\
    1. Preheat the oven to 190 °C. Wash the leeks.\n\
    2. Simmer the barley in salted water for 25 to 30 minutes, stirring now and then. Drain.\n\
    3. Meanwhile sweat the leeks in a frying pan over low heat for 10 minutes.\n\
    4. Mix barley, leeks, eggs and cream in a large bowl; tip into a baking dish and sprinkle with cheese.\n\
    5. Bake for 35 minutes or until golden; a thermometer in the middle must read 72 °C. Let stand 10 minutes. Serve hot.\n";

fn drafted(text: &str) -> Draft {
    let found = read(text.as_bytes()).expect("a recipe").remove(0);
    draft(&found)
}

fn shown(recipe: &Recipe) -> Vec<String> {
    let one = |s: &crate::kitchen::Step| {
        let way = &s.ways[0];
        let after: Vec<String> =
            s.after.iter().map(|a| format!("{}+{}", a.step, a.least_minutes)).collect();
        format!(
            "{} {} {}/{}/{} {} <{}>",
            s.id,
            way.station.word(),
            way.minutes.low,
            way.minutes.likely,
            way.minutes.high,
            s.hands.between_percent,
            after.join(" ")
        )
    };
    recipe.steps.iter().map(one).collect()
}

#[test]
fn a_text_becomes_a_recipe_that_is_sound_and_all_of_it_unconfirmed() {
    let Draft { recipe, said } = drafted(LEEK_BAKE);
    assert_eq!(
        shown(&recipe),
        [
            "wash counter 2/3/5 100 <>",
            "simmer hob 25/28/30 10 <wash+0>",
            "drain counter 1/2/3 100 <simmer+0>",
            "sweat hob 10/10/10 50 <simmer+0>",
            "mix counter 3/6/9 100 <drain+0 sweat+0>",
            "bake oven 28/35/47 0 <mix+0>",
            "serve counter 2/3/5 100 <bake+10>",
        ],
        "{said:?}"
    );
    let bake = &recipe.steps[5];
    assert_eq!((bake.ways[0].at_c, bake.probe), (Some(190), true));
    assert!(
        bake.words.as_deref().is_some_and(|w| w.contains("Bake for 35 minutes or until golden"))
    );
    assert!(recipe.steps.iter().all(|s| s.unconfirmed && s.words.is_some()));
    assert!(recipe.safety.unconfirmed && recipe.safety.class == FoodClass::Casserole);
    assert_eq!(recipe.safety.exempt, None);
    assert_eq!(recipe.holds.len(), 1);
    assert!(recipe.holds[0].unconfirmed && recipe.holds[0].class == HoldClass::Hot);
    assert_eq!(recipe.holds[0].words.as_deref(), Some("Serve hot."));
    let wrong: Vec<_> = check::check_recipe(&recipe)
        .into_iter()
        .filter(|p| p.severity == check::Severity::Wrong)
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    let leeks = &recipe.ingredients[0];
    assert_eq!(leeks.line.as_deref(), Some("2 kg leeks, sliced"));
    assert!(leeks.steps.iter().any(|s| s == "wash") && !leeks.steps.iter().any(|s| s == "simmer"));
}

#[test]
fn what_the_text_does_not_say_is_told_as_a_guess() {
    let Draft { recipe, said } = drafted(
        "Bean mash\n\nIngredients\n500 g beans\n\nMethod\nBoil the beans. Mash. Bake until brown.\n",
    );
    let all = said.join("\n");
    assert!(all.contains("4 servings are a guess") && all.contains("gives no time"), "{all}");
    assert!(all.contains("no setting"), "{all}");
    assert!(recipe.notes.iter().any(|n| n.starts_with("Minutes guessed")), "{:?}", recipe.notes);
}

#[test]
fn waits_in_the_cold_stand_between_steps() {
    let Draft { recipe, .. } = drafted(
        "Beet salad\nServes 6\n\nIngredients\n1 kg beets\n\nMethod\n\
         Boil the beets 40 minutes. Cool.\nSlice them.\nCover; refrigerate at least 3 hours before serving.\n",
    );
    let last = recipe.steps.last().expect("steps");
    assert_eq!(last.after[0].least_minutes, 180);
    assert_eq!(last.after[0].place, WaitPlace::Cold);
    assert!(recipe.holds.iter().any(|h| h.place == StationKind::Fridge));
}

#[test]
fn of_two_kinds_of_food_the_stricter_is_proposed() {
    let class = |lines: &str, method: &str| {
        let text = format!("Pot\nServes 4\n\nIngredients\n{lines}\n\nMethod\n{method}\n");
        drafted(&text).recipe.safety.class
    };
    let stew = "Simmer for 40 minutes.";
    assert_eq!(class("500 g chicken thighs\n300 g beef mince", stew), FoodClass::Poultry);
    assert_eq!(class("300 g beef mince\n1 onion", stew), FoodClass::GroundMeat);
    assert_eq!(class("800 g stewing beef\n1 l chicken stock", stew), FoodClass::WholeMeat);
    assert_eq!(class("500 g lentils\n1 l chicken stock", stew), FoodClass::CookedPlant);
    assert_eq!(class("1 lettuce\n3 tomatoes", "Tear and toss."), FoodClass::CutProduce);
}

/// No words of the source are lost: each stands in a step, a line or a note.
#[test]
fn no_word_of_the_source_is_lost() {
    let found = read(LEEK_BAKE.as_bytes()).expect("a recipe").remove(0);
    let recipe = draft(&found).recipe;
    let kept = serde_json::to_string(&recipe).expect("JSON");
    for words in found.method.iter().chain(&found.lines) {
        for word in words.text.split(|c: char| !c.is_alphanumeric()).filter(|w| w.len() > 3) {
            assert!(kept.contains(word), "{word}");
        }
    }
}

#[test]
fn a_long_title_has_a_short_name_for_narrow_blocks() {
    for (title, expected) in [
        ("Tamale Pie (Ground Beef)", Some("Tamale Pie")),
        ("Leek and barley pot", Some("Leek")),
        ("Soup", None),
        ("Pannacottaflavoured things", None),
        ("(1)", None),
    ] {
        assert_eq!(super::short(title).as_deref(), expected, "{title}");
    }
}
