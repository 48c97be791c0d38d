//! Pages of our own making, in every shape that pages have. Other people's are
//! judged by `tests/outside/pages.py`.

use super::{Found, Origin, Trouble, read};

fn one(page: &str) -> Found {
    let mut found = read(page.as_bytes()).expect(page);
    found.remove(0)
}

fn script(json: &str) -> String {
    format!(
        "<html><head><script type=\"application/ld+json\">{json}</script></head><body>x</body></html>"
    )
}

fn texts(found: &Found) -> (Vec<&str>, Vec<&str>) {
    let list = |words: &[super::Words]| words.iter().map(|w| w.text.as_str().to_owned()).collect();
    let (lines, method): (Vec<String>, Vec<String>) = (list(&found.lines), list(&found.method));
    let leak = |v: Vec<String>| v.into_iter().map(|s| &*s.leak()).collect();
    (leak(lines), leak(method))
}

const LINES: [&str; 2] = ["2 kg leeks, sliced", "1/2 l cream"];
const STEPS: [&str; 2] = ["Sweat the leeks.", "Add cream; simmer 20 minutes."];

/// The same recipe in the shapes of schema.org's release 30.0 and of the pages that
/// public issue threads tell of.
#[test]
fn every_shape_of_json_ld_is_the_same_recipe() {
    let lines = r#"["2 kg leeks, sliced", "&frac12; l cream"]"#;
    let steps = r#"["Sweat the leeks.", "Add cream; simmer 20 minutes."]"#;
    let how = r#"[{"@type":"HowToStep","text":"Sweat the leeks."},{"@type":"HowToStep","name":"Add","text":"Add cream; simmer 20 minutes."}]"#;
    let recipe = |lines: &str, steps: &str| {
        format!(
            r#"{{"@type":"Recipe","name":"Leek pot","recipeIngredient":{lines},"recipeInstructions":{steps}}}"#
        )
    };
    let plain = recipe(lines, steps);
    for json in [
        plain.clone(),
        format!("[{plain}]"),
        format!(r#"{{"@graph":["stray",{{"@type":"WebSite"}},{plain}]}}"#),
        format!(r#"{{"@type":"WebPage","mainEntity":{plain}}}"#),
        plain.replace("\"Recipe\"", "[\"https://schema.org/Recipe\",\"Article\"]"),
        plain.replace("recipeIngredient", "ingredients"),
        recipe(r#"[["2 kg leeks, sliced"],["½ l cream"]]"#, how),
        recipe(
            r#""2 kg leeks, sliced\n½ l cream""#,
            r#""1. Sweat the leeks. 2. Add cream; simmer 20 minutes.""#,
        ),
        recipe(
            lines,
            r#""<ol><li>Sweat the leeks.</li><li>Add cream; simmer 20 minutes.</li></ol>""#,
        ),
        recipe(
            lines,
            &format!(r#"{{"@type":"HowToSection","name":"Pot","itemListElement":{how}}}"#),
        ),
        recipe(lines, &format!(r#"{{"itemListElement":{how}}}"#)),
        recipe(
            lines,
            r#"{"@type":"ItemList","itemListElement":[{"@type":"ListItem","item":{"@type":"HowToStep","text":"Sweat the leeks."}},{"@type":"ListItem","item":{"@type":"HowToStep","itemListElement":{"@type":"HowToDirection","text":"Add cream; simmer 20 minutes."}}}]}"#,
        ),
        recipe(
            r#"[{"@type":"PropertyValue","name":"leeks, sliced","value":2,"unitCode":"KGM"},{"@type":"PropertyValue","name":"cream","value":"1/2","unitText":"l"}]"#,
            how,
        ),
        recipe(
            r#"{"@type":"ItemList","itemListElement":[{"item":{"@type":"HowToSupply","name":"leeks, sliced","requiredQuantity":{"value":2,"unitCode":"KGM"}}},{"item":"½ l cream"}]}"#,
            how,
        ),
        plain.replace('}', ",}"),
        format!("//<![CDATA[\n{plain}\n//]]>"),
    ] {
        let found = one(&script(&json));
        assert_eq!(texts(&found), (LINES.to_vec(), STEPS.to_vec()), "{json}");
        assert_eq!((found.title.as_str(), found.origin), ("Leek pot", Origin::JsonLd), "{json}");
        let alone = one(&json.replace("//<![CDATA[\n", "").replace("\n//]]>", ""));
        assert_eq!(texts(&alone).0, LINES, "{json}");
    }
}

#[test]
fn yields_and_times_are_read_in_their_shapes() {
    let of = |fields: &str| {
        one(&script(&format!(r#"{{"@type":"Recipe","recipeIngredient":"1 egg",{fields}}}"#)))
    };
    for (fields, servings, portion) in [
        (r#""recipeYield": 4"#, Some(4), None),
        (r#""recipeYield": ["4", "4 servings"]"#, Some(4), None),
        (r#""recipeYield": "Serves 4-6""#, Some(4), None),
        (r#""recipeYield": "1 loaf""#, Some(1), Some("loaf")),
        (
            r#""recipeYield": {"@type":"QuantitativeValue","value":24,"unitText":"rolls"}"#,
            Some(24),
            Some("rolls"),
        ),
        (r#""recipeYield": "a potful""#, None, None),
    ] {
        let found = of(fields);
        assert_eq!((found.servings, found.portion.as_deref()), (servings, portion), "{fields}");
    }
    let found = of(r#""prepTime":"PT0M","cookTime":"","totalTime":"P0DT1H15M""#);
    assert_eq!((found.times.prep, found.times.cook, found.times.total), (None, None, Some(75)));
    let step = of(
        r#""recipeInstructions":[{"@type":"HowToStep","itemListElement":[{"@type":"HowToDirection","text":"Chill.","performTime":"PT2H"}]}]"#,
    );
    assert_eq!(step.method.first().and_then(|m| m.minutes), Some(120));
}

#[test]
fn microdata_rdfa_and_plain_pages_are_read() {
    let micro = "<div itemscope itemtype='http://schema.org/Recipe'><h1 itemprop=name>Leek pot</h1>\
        <time itemprop=totalTime datetime=PT50M>50 min</time><span itemprop=recipeYield>16 portions</span>\
        <ul><li itemprop=ingredients>2 kg leeks, sliced<li itemprop=recipeIngredient>&frac12; l cream</ul>\
        <ol itemprop=recipeInstructions><li>Sweat the leeks.<li>Add cream; simmer 20 minutes.</ol></div>";
    // Two names for one property: the newer one is meant first.
    let micro = micro.replace("itemprop=ingredients", "itemprop=recipeIngredient");
    let found = one(&micro);
    assert_eq!(texts(&found), (LINES.to_vec(), STEPS.to_vec()));
    assert_eq!(
        (found.servings, found.times.total, found.origin),
        (Some(16), Some(50), Origin::Microdata)
    );
    let rdfa = "<body vocab='https://schema.org/' typeof=Recipe><h1 property=name>Leek pot</h1>\
        <p property=recipeIngredient>2 kg leeks, sliced<p property=recipeIngredient>½ l cream\
        <div property=recipeInstructions>Sweat the leeks.<br>Add cream; simmer 20 minutes.</div>";
    let found = one(rdfa);
    assert_eq!((texts(&found), found.origin), ((LINES.to_vec(), STEPS.to_vec()), Origin::Rdfa));
    let plain = "<html><title>x</title><nav><ul><li>1 kg menu</ul></nav><h1>Leek pot</h1><p>Serves 16</p>\
        <h2>Ingredients</h2><ul><li>2 kg leeks, sliced<li>½ l cream</ul>\
        <h2>Method</h2><ol><li>Sweat the leeks.<li>Add cream; simmer 20 minutes.</ol><footer>more</footer>";
    let found = one(plain);
    assert_eq!(
        (texts(&found), found.origin),
        ((LINES.to_vec(), STEPS.to_vec()), Origin::PlainPage)
    );
    assert_eq!((found.title.as_str(), found.servings), ("Leek pot", Some(16)));
}

/// One bad block must not lose the others; the fullest recipe of several is first.
#[test]
fn bad_blocks_are_told_and_good_ones_read() {
    let good = r#"{"@type":"Recipe","name":"Leek pot","recipeIngredient":["1 leek","1 egg"],"recipeInstructions":"Boil."}"#;
    let page = format!(
        "{}{}{}",
        script("var x = 1; // no JSON"),
        script(r#"{"@type":"Recipe","name":"Other","recipeIngredient":["1 plum"]}"#),
        script(good)
    );
    let found = read(page.as_bytes()).expect("recipes");
    let titles: Vec<&str> = found.iter().map(|f| f.title.as_str()).collect();
    assert_eq!(titles, ["Leek pot", "Other"]);
    assert!(found[0].said.iter().any(|s| s.starts_with("block 1")), "{:?}", found[0].said);
    // A label that lies, both ways.
    let lying = script(good).replace("application/ld+json", "text/plain");
    assert!(read(lying.as_bytes()).is_err() || !one(&lying).lines.is_empty());
    let cut = script(good);
    let cut = cut.split("Boil").next().expect("a start");
    assert_eq!(one(cut).lines.len(), 2);
    assert!(one(cut).said.iter().any(|s| s.ends_with("what it still holds was read")));
    let nothing = cut.split("recipeIngredient").next().expect("a start");
    let trouble = read(nothing.as_bytes()).expect_err("only a name is left");
    assert!(trouble.what().ends_with("block 1 of JSON-LD is cut off"), "{trouble}");
}

#[test]
fn files_without_a_recipe_get_a_message() {
    for (bytes, start) in [
        (&b""[..], "is empty"),
        (b" \n\t ", "is empty"),
        (&[0; 4000], "holds neither letters nor figures"),
        (b"%PDF-1.7", "is a PDF"),
        (b"PK\x03\x04\x00", "is an archive"),
        (b"\x00\x01\x02ab\x00cdefghijklmnopqrst", "is not made of letters"),
        (
            b"<html><title>Bus</title><p>at nine</p>",
            "holds no recipe that could be found: a page \"Bus\"",
        ),
        (b"{\"a\": 1}", "holds no recipe"),
        (b"{\"a\": ", "holds no recipe"),
        (b"Good morning", "holds no recipe that could be found: a text of 1 line"),
    ] {
        let trouble = read(bytes).expect_err("no recipe");
        assert!(trouble.what().starts_with(start), "{trouble}");
        assert!(!trouble.remedy().is_empty());
    }
    let large = vec![b'x'; usize::try_from(super::LARGEST).expect("fits") + 1];
    assert_eq!(read(&large), Err(Trouble::TooLarge(16)));
}
