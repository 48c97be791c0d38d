//! Ids made of names.

/// A name in the letters of an id: lower-case letters, digits and `_`, one `-` for whatever stands between them and
/// none at its ends; empty if nothing of the name can stand in one. As long as the name: who keeps it cuts it.
#[must_use]
pub fn spelled(name: &str) -> String {
    let mut id = String::new();
    for c in name.chars().flat_map(char::to_lowercase) {
        if c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' {
            id.push(c);
        } else if !id.ends_with('-') && !id.is_empty() {
            id.push('-');
        }
    }
    id.truncate(id.trim_end_matches('-').len());
    id
}

/// An id that is not taken yet: the stem, or with a number, `oven-2`.
#[must_use]
pub fn free(stem: &str, taken: impl Fn(&str) -> bool) -> String {
    let numbered = (2_u32..).map(|n| format!("{stem}-{n}"));
    let mut ids = std::iter::once(stem.to_owned()).chain(numbered);
    ids.find(|id| !taken(id)).unwrap_or_else(|| stem.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_spelled_in_the_letters_of_an_id() {
        for (name, id) in [
            ("Onion, diced", "onion-diced"),
            ("  Leek & 2 pies! ", "leek-2-pies"),
            ("big_pan", "big_pan"),
            ("Crème", "cr-me"),
            ("食べる", ""),
        ] {
            assert_eq!(spelled(name), id, "{name}");
        }
    }

    #[test]
    fn what_is_taken_gets_the_next_number() {
        let taken = ["oven", "oven-2"];
        assert_eq!(free("oven", |id| taken.contains(&id)), "oven-3");
        assert_eq!(free("hob", |id| taken.contains(&id)), "hob");
    }
}
