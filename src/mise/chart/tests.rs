use super::*;
use crate::plan::compose::tests::supper;

/// What stands between the first of these and the next `"` after it, each time.
fn all<'a>(svg: &'a str, before: &str) -> Vec<&'a str> {
    svg.split(before).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

#[test]
fn every_block_is_drawn_inside_the_picture() {
    let (evening, plan) = supper();
    let pictures = pictures(&evening, &plan);
    for (n, b) in plan.blocks.iter().enumerate() {
        let (from, to) = (evening.face.label(b.start), evening.face.label(b.end));
        let title = format!("<title>{from} to {to}: {}", evening.sheets[b.key.dish].short());
        assert!(pictures.iter().any(|p| p.svg.contains(&title)), "block {n}: {title}");
    }
    for picture in &pictures {
        for tag in picture.svg.split('<').filter(|tag| tag.starts_with("rect x=")) {
            let number = |name: &str| -> i32 {
                all(tag, &format!(" {name}=\""))[0].parse().expect("a number")
            };
            let (right, bottom) = (number("x") + number("width"), number("y") + number("height"));
            assert!(right <= 1000 && bottom <= picture.height, "{tag}");
        }
    }
}

/// XML 1.0: what was opened is closed, in order; ids are there once.
#[test]
fn the_file_is_well_formed_and_the_same_every_time() {
    let (mut evening, plan) = supper();
    evening.party.title = "R&D <supper> \"big\"".into();
    let svg = whole(&evening, &plan);
    assert_eq!(svg, whole(&evening, &plan));
    assert!(svg.contains("R&amp;D &lt;supper&gt;") && !svg.contains("script"));
    let mut open: Vec<&str> = Vec::new();
    for tag in svg.split('<').skip(1) {
        let name = tag.split([' ', '>', '/']).next().unwrap_or("");
        let inside = tag.split('>').next().unwrap_or("");
        if let Some(name) = tag.strip_prefix('/').and_then(|t| t.split('>').next()) {
            assert_eq!(open.pop(), Some(name), "{tag}");
        } else if !inside.ends_with('/') {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?}");
    let mut ids = all(&svg, " id=\"");
    ids.sort_unstable();
    let count = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), count);
}
