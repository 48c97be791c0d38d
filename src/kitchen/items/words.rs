//! Words of items: one and many, accents, the words that change nothing.

use crate::kitchen::units::Exact;

/// Words that end like plurals and are none, or are plurals that we leave alone.
const AS_THEY_ARE: [&str; 22] = [
    "asparagus",
    "bass",
    "brussels",
    "citrus",
    "couscous",
    "cous",
    "cress",
    "grits",
    "hummus",
    "houmous",
    "humous",
    "lemongrass",
    "molasses",
    "octopus",
    "schnapps",
    "swiss",
    "watercress",
    "hibiscus",
    "bouillabaisse",
    "haas",
    "bockwurst",
    "cheese",
];

/// Plurals that no rule makes.
const IRREGULAR: [(&str, &str); 16] = [
    ("leaf", "leaves"),
    ("loaf", "loaves"),
    ("half", "halves"),
    ("calf", "calves"),
    ("knife", "knives"),
    ("goose", "geese"),
    ("fish", "fish"),
    ("cod", "cod"),
    ("salmon", "salmon"),
    ("trout", "trout"),
    ("squid", "squid"),
    ("cookie", "cookies"),
    ("brownie", "brownies"),
    ("smoothie", "smoothies"),
    ("chilli", "chillies"),
    ("chili", "chilies"),
];

/// What has no plural, as the last word of a name, and what one of it is called where it is counted all the same:
/// three sticks of celery.
const NOT_COUNTED: [(&str, Option<&str>); 52] = [
    ("celery", Some("stick")),
    ("rhubarb", Some("stick")),
    ("broccoli", Some("head")),
    ("chicory", Some("head")),
    ("garlic", Some("head")),
    ("fennel", Some("bulb")),
    ("lemongrass", Some("stalk")),
    ("bacon", Some("slice")),
    ("bread", Some("loaf")),
    ("nori", Some("sheet")),
    ("cardamom", Some("pod")),
    ("mozzarella", Some("ball")),
    ("halloumi", Some("block")),
    ("tofu", Some("block")),
    ("feta", Some("block")),
    ("ginger", Some("piece")),
    ("ginger root", Some("piece")),
    ("pastry", Some("sheet")),
    ("tea", Some("bag")),
    ("celeriac", None),
    ("kohlrabi", None),
    ("okra", None),
    ("pak choi", None),
    ("corn on the cob", None),
    ("bouquet garni", None),
    ("star anise", None),
    ("nutmeg", None),
    ("zest", None),
    ("juice", None),
    ("butter", None),
    ("milk", None),
    ("cream", None),
    ("flour", None),
    ("sugar", None),
    ("salt", None),
    ("honey", None),
    ("rice", None),
    ("stock", None),
    ("water", None),
    ("oil", None),
    ("parsley", None),
    ("coriander", None),
    ("dill", None),
    ("thyme", None),
    ("rosemary", None),
    ("sage", None),
    ("basil", None),
    ("mint", None),
    ("spinach", None),
    ("kale", None),
    ("beef", None),
    ("pork", None),
];

/// What is small enough to be many where it is weighed, though the table has no weight of one.
const SMALL: [&str; 14] = [
    "berry", "chip", "crouton", "fig", "finger", "heart", "noodle", "onion", "peach", "prawn",
    "roll", "sausage", "stick", "tomato",
];

fn not_counted(name: &str) -> Option<Option<&'static str>> {
    let name = name.to_lowercase();
    let ends = |end: &str| name.strip_suffix(end).is_some_and(|h| h.is_empty() || h.ends_with(' '));
    NOT_COUNTED.iter().find(|(end, _)| ends(end)).map(|(_, one)| *one)
}

/// What one of it is called, where its name alone is not counted: a stick of celery.
#[must_use]
pub fn one_of(name: &str) -> Option<&'static str> {
    not_counted(name).flatten()
}

/// The name where it is weighed, in bunches or in boxes: in the plural if one of it is small, "mushrooms", else as it
/// is, "butternut squash". `one_g` is the weight of one, if it is known.
#[must_use]
pub fn in_bulk(name: &str, one_g: Option<Exact>) -> String {
    let last = name.rsplit(' ').next().unwrap_or(name).to_lowercase();
    let small = one_g.map_or(SMALL.contains(&last.as_str()), |g| g <= Exact::whole(SMALL_G));
    if small { plural(name) } else { name.to_owned() }
}

/// Up to this weight one of a thing is small: a chicken breast is, an aubergine is not.
const SMALL_G: i64 = 300;

/// Words in -o that take -es.
const OES: [&str; 5] = ["potato", "tomato", "mango", "hero", "tomatillo"];

/// The singular of one lower-case word: "tomatoes" → "tomato".
#[must_use]
pub fn singular(word: &str) -> String {
    if AS_THEY_ARE.contains(&word) || word.len() < 3 {
        return word.to_owned();
    }
    if let Some((one, _)) = IRREGULAR.iter().find(|(one, many)| *many == word || *one == word) {
        return (*one).to_owned();
    }
    let stem = |end: &str| word.strip_suffix(end);
    if let Some(stem) = stem("ies").filter(|s| s.len() > 1) {
        return format!("{stem}y");
    }
    if let Some(o) = stem("es").filter(|s| s.ends_with('o')) {
        return o.to_owned();
    }
    let hissing = |s: &&str| ["ss", "x", "zz", "ch", "sh"].iter().any(|end| s.ends_with(end));
    if let Some(stem) = stem("es").filter(hissing) {
        return stem.to_owned();
    }
    let single = |s: &&str| !["s", "u", "i"].iter().any(|end| s.ends_with(end));
    match stem("s").filter(single) {
        Some(stem) => stem.to_owned(),
        None => word.to_owned(),
    }
}

/// The name of many: its last word put into the plural, "bay leaf" → "bay leaves".
/// A name that is a plural already, or of what is not counted, stays as it is.
#[must_use]
pub fn plural(name: &str) -> String {
    if not_counted(name).is_some() {
        return name.to_owned();
    }
    let at = name.rfind(' ').map_or(0, |at| at + 1);
    let (head, last) = name.split_at(at);
    let lower = last.to_lowercase();
    if AS_THEY_ARE.contains(&lower.as_str()) || singular(&lower) != lower {
        return name.to_owned();
    }
    if let Some((_, many)) = IRREGULAR.iter().find(|(one, _)| *one == lower) {
        return format!("{head}{many}");
    }
    let vowel_before_y = ["ay", "ey", "oy", "uy"].iter().any(|end| lower.ends_with(end));
    if let (Some(stem), false) = (last.strip_suffix('y'), vowel_before_y) {
        return format!("{head}{stem}ies");
    }
    let hissing = ["s", "x", "z", "ch", "sh"].iter().any(|end| lower.ends_with(end));
    if hissing || OES.contains(&lower.as_str()) {
        return format!("{name}es");
    }
    format!("{name}s")
}

/// Words that do not change what a thing is. Words that do ("dried", "ground",
/// "smoked", "canned", "coconut") are not here.
const CHANGING_NOTHING: &str = "fresh raw large medium small extra big thick thin fat lean ripe \
    organic good quality best free range boneless skinless unsalted salted unsweetened plain pure \
    chopped diced cubed sliced shredded grated crumbled minced crushed halved quartered peeled \
    trimmed washed rinsed drained cut torn picked shelled pitted stoned seedless deseeded cored \
    zested juiced beaten melted softened toasted cold warm hot boiling thawed defrosted finely \
    roughly coarsely thinly thickly freshly very about heaped level rounded packed firmly loosely \
    lightly optional a an the of some more few piece pieces uncooked dry-packed bnls sknls about \
    stalk sprig";

/// A name as the index has it: lower case, no accents, each word in the singular.
pub(super) fn key(name: &str) -> Vec<String> {
    let mut folded = String::with_capacity(name.len());
    for c in name.chars().flat_map(char::to_lowercase) {
        match c {
            'à' | 'á' | 'â' | 'ä' | 'ã' | 'å' => folded.push('a'),
            'è' | 'é' | 'ê' | 'ë' => folded.push('e'),
            'ì' | 'í' | 'î' | 'ï' => folded.push('i'),
            'ò' | 'ó' | 'ô' | 'ö' | 'õ' | 'ø' => folded.push('o'),
            'ù' | 'ú' | 'û' | 'ü' => folded.push('u'),
            'ç' => folded.push('c'),
            'ñ' => folded.push('n'),
            '\'' | '’' => {}
            c if c.is_alphanumeric() => folded.push(c),
            _ => folded.push(' '),
        }
    }
    folded.split_whitespace().map(singular).collect()
}

/// The words of a key that say what the thing is.
pub(super) fn telling(key: &[String]) -> Vec<String> {
    let nothing = |word: &String| CHANGING_NOTHING.split_whitespace().any(|w| w == word);
    key.iter().filter(|w| !nothing(w)).cloned().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_and_many() {
        for (one, many) in [
            ("onion", "onions"),
            ("tomato", "tomatoes"),
            ("potato", "potatoes"),
            ("leaf", "leaves"),
            ("loaf", "loaves"),
            ("half", "halves"),
            ("knife", "knives"),
            ("berry", "berries"),
            ("cherry", "cherries"),
            ("radish", "radishes"),
            ("peach", "peaches"),
            ("sandwich", "sandwiches"),
            ("clove", "cloves"),
            ("olive", "olives"),
            ("chive", "chives"),
            ("slice", "slices"),
            ("orange", "oranges"),
            ("date", "dates"),
            ("mushroom", "mushrooms"),
            ("squash", "squashes"),
            ("chilli", "chillies"),
            ("chili", "chilies"),
            ("cookie", "cookies"),
            ("avocado", "avocados"),
            ("mango", "mangoes"),
            ("pea", "peas"),
            ("lentil", "lentils"),
            ("box", "boxes"),
            ("celery stick", "celery sticks"),
            ("bay leaf", "bay leaves"),
            ("glass", "glasses"),
            ("turkey", "turkeys"),
        ] {
            assert_eq!(plural(one), many);
            let last = |s: &str| s.rsplit(' ').next().unwrap_or(s).to_owned();
            assert_eq!(singular(&last(many)), last(one));
            assert_eq!(singular(&last(one)), last(one), "stays");
            assert_eq!(plural(many), many, "stays");
        }
        for same in ["asparagus", "hummus", "molasses", "couscous", "watercress", "salmon", "swiss"]
        {
            assert_eq!((singular(same), plural(same)), (same.to_owned(), same.to_owned()));
        }
    }

    #[test]
    fn what_is_not_counted_stays_and_is_counted_by_what_one_of_it_is_called() {
        assert_eq!((plural("celery"), one_of("celery")), ("celery".to_owned(), Some("stick")));
        assert_eq!((plural("lemon zest"), one_of("lemon zest")), ("lemon zest".to_owned(), None));
        assert_eq!((plural("ginger root"), one_of("onion")), ("ginger root".to_owned(), None));
        // An ending within a word is none.
        assert_eq!(plural("pear"), "pears");
        let g = |g| Some(Exact::whole(g));
        assert_eq!(in_bulk("mushroom", g(18)), "mushrooms");
        assert_eq!(in_bulk("butternut squash", g(1000)), "butternut squash");
        assert_eq!(in_bulk("rice noodle", None), "rice noodles");
        assert_eq!(in_bulk("olive oil", None), "olive oil");
        let of = |weight| in_bulk("aubergine", g(weight));
        assert_eq!((of(300), of(301)), ("aubergines".to_owned(), "aubergine".to_owned()));
        assert_eq!((singular("pies"), plural("pie")), ("pie".to_owned(), "pies".to_owned()));
    }

    #[test]
    fn a_key_has_neither_accents_nor_plurals_nor_signs() {
        assert_eq!(key("Crème Fraîche"), ["creme", "fraiche"]);
        assert_eq!(key("ONIONS,FRESH,CHOPPED"), ["onion", "fresh", "chopped"]);
        assert_eq!(key("bird's-eye chillies"), ["bird", "eye", "chilli"]);
        assert_eq!(telling(&key("large, finely chopped onions")), ["onion"]);
    }
}
