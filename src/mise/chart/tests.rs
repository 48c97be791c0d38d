use super::lanes::{Item, Lane, Shape, lanes};
use super::*;
use crate::kitchen::{Evening, Minute, WaitPlace};
use crate::plan::compose::tests::supper;
use crate::plan::{Plan, WaitBlock};

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

/// The supper with a roast that wants a tenth of the hands, chips that want them all throughout, and a dip that waits in
/// the fridge between its steps.
fn busy() -> (Evening, Plan) {
    let (evening, mut plan) = supper();
    for block in &mut plan.blocks {
        let hands = match (block.key.dish, block.key.step) {
            (0, 1) => (2, 10, 1),
            (1, 1) => (5, 0, 4),
            (0, 2) => (0, 50, 0),
            _ => (0, 100, 0),
        };
        (block.hands_start, block.hands_between, block.hands_end) = hands;
        block.cook = Some("kim".to_owned());
    }
    plan.waits = vec![WaitBlock {
        dish: 2,
        after_step: 0,
        before_step: 1,
        place: WaitPlace::Cold,
        station: Some("fridge".to_owned()),
        slots: vec![1],
        from: 991,
        to: 1100,
    }];
    // Out of order, as no plan has them.
    plan.blocks.reverse();
    (evening, plan)
}

/// What is in each lane, by hand: hands first, then stations by their kind.
#[test]
fn every_lane_has_what_lies_there() {
    let (mut evening, plan) = busy();
    let stations = &mut evening.kitchen.stations;
    stations.reverse();
    let said = |lanes: &[Lane]| -> Vec<String> {
        let item = |i: &Item| format!("{:?} {} to {}", i.shape, i.from, i.to);
        let items = |l: &Lane| l.items.iter().map(item).collect::<Vec<_>>().join(", ");
        lanes.iter().map(|l| format!("{}: {}", l.title, items(l))).collect()
    };
    assert_eq!(
        said(&lanes(&evening, &plan)),
        [
            "Kim: Hands(100) 960 to 970, Hands(100) 980 to 982, Hands(10) 982 to 1039, Hands(100) 985 to 991, \
             Hands(100) 1039 to 1040, Hands(50) 1040 to 1050, Hands(100) 1060 to 1072, Hands(100) 1100 to 1104, \
             Hands(100) 1110 to 1119, Hands(100) 1120 to 1129, Hands(100) 1130 to 1139",
            "Oven, rack 1: Heating 964 to 980, Step 980 to 1040, Cooling 1040 to 1050, Hold 1050 to 1140",
            "Air fryer: Step 1110 to 1119, Step 1120 to 1129, Step 1130 to 1139",
            "Counter, board 1: Step 960 to 970, Step 985 to 991, Step 1040 to 1050, Step 1060 to 1072, \
             Step 1100 to 1104, Hold 1119 to 1140",
            "Fridge, place 1: Hold 1104 to 1140",
            "Fridge, place 2: Wait 991 to 1100",
        ]
    );
}

/// What is drawn: its words, and left, right, top and bottom of its shape.
fn drawn(svg: &str) -> Vec<(String, [i32; 4])> {
    let shape = |rest: &str| {
        let (words, shape) = rest.split_once("</title>\n").expect("a title");
        let tag = shape.split('>').next().expect("a shape");
        let number =
            |name: &str| -> i32 { all(tag, &format!(" {name}=\""))[0].parse().expect("a number") };
        let at = if let Some(points) = all(tag, " points=\"").first() {
            let numbers: Vec<i32> =
                points.split([' ', ',']).map(|n| n.parse().expect("a number")).collect();
            let (x, y) =
                ([numbers[0], numbers[2], numbers[4]], [numbers[1], numbers[3], numbers[5]]);
            let least = |all: [i32; 3]| all.into_iter().min().unwrap_or(0);
            let most = |all: [i32; 3]| all.into_iter().max().unwrap_or(0);
            // A wedge is steep on the side of the greater heat.
            assert_eq!(x[1], if words.contains("dial to 180") { x[2] } else { x[0] }, "{words}");
            [least(x), most(x), least(y), most(y)]
        } else {
            [
                number("x"),
                number("x") + number("width"),
                number("y"),
                number("y") + number("height"),
            ]
        };
        (words.to_owned(), at)
    };
    svg.split("<g><title>").skip(1).map(shape).collect()
}

/// Texts with their x and y.
fn texts(svg: &str) -> Vec<(i32, i32, String)> {
    let one = |rest: &str| {
        let (x, rest) = rest.split_once("\" y=\"").expect("y");
        let (y, rest) = rest.split_once('"').expect("its end");
        let words = rest.split_once('>').and_then(|r| r.1.split('<').next()).expect("words");
        (x.parse().expect("x"), y.parse().expect("y"), words.to_owned())
    };
    svg.split("<text x=\"").skip(1).map(one).collect()
}

/// Read from the picture alone: the clock on top says where each minute lies, and every shape begins and ends where its
/// words say, in the lane that is its own.
#[test]
fn shapes_stand_under_their_times_and_in_their_lanes() {
    let (evening, plan) = busy();
    let pictures = pictures(&evening, &plan);
    let [picture] = pictures.as_slice() else { panic!("16:00 to 19:30 is one stretch") };
    assert_eq!(picture.title, "16:00 to 19:30");
    let minute = |label: &str| -> Option<Minute> {
        let (hour, minute) = label.split_once(':')?;
        Some(hour.parse::<Minute>().ok()? * 60 + minute.parse::<Minute>().ok()?)
    };
    let texts = texts(&picture.svg);
    let clock: Vec<(Minute, i32)> =
        texts.iter().filter_map(|t| Some((minute(&t.2)?, t.0))).collect();
    assert_eq!(
        clock.iter().map(|c| c.0).collect::<Vec<_>>(),
        [960, 990, 1020, 1050, 1080, 1110, 1140, 1170]
    );
    let (first, last) = (clock[0], clock[clock.len() - 1]);
    assert!(first.1 > 150 && last.1 > 980 && last.1 <= 1000, "{clock:?}");
    let x = |at: Minute| first.1 + (at - first.0) * (last.1 - first.1) / (last.0 - first.0);
    let near = |a: i32, b: i32| (a - b).abs() <= 1;
    assert!(clock.iter().all(|c| near(c.1, x(c.0))), "{clock:?}");
    // A line for each quarter of an hour, a darker one for each half.
    let lines: Vec<i32> = picture
        .svg
        .split("<line x1=\"")
        .skip(1)
        .filter(|l| l.contains("y1=\"40\""))
        .filter_map(|l| l.split('"').next()?.parse().ok())
        .collect();
    assert!(
        lines.len() == 15 && lines.iter().zip(0..).all(|(l, n)| near(*l, x(960 + 15 * n))),
        "{lines:?}"
    );
    assert_eq!(picture.svg.matches("stroke=\"#bbb\"").count(), 8);
    // The service where it is due, its words beside it.
    let supper = texts.iter().find(|t| t.2 == "19:00 Supper").expect("the service");
    assert!(near(supper.0, x(1140)), "{supper:?}");
    assert!(picture.svg.contains(&format!("x1=\"{0}\" y1=\"18\" x2=\"{0}\"", supper.0)));
    let lanes = lanes(&evening, &plan);
    let rows: Vec<(usize, &Item)> = lanes
        .iter()
        .enumerate()
        .flat_map(|(row, l)| l.items.iter().map(move |i| (row, i)))
        .collect();
    let drawn = drawn(&picture.svg);
    assert_eq!(drawn.len(), rows.len());
    for (n, ((words, [left, right, top, bottom]), (row, item))) in
        drawn.iter().zip(&rows).enumerate()
    {
        assert_eq!(words, &item.words);
        let times =
            words.split_once(": ").expect("times").0.split_once(" to ").expect("from and to");
        let (from, to) = (minute(times.0).expect("a time"), minute(times.1).expect("a time"));
        assert!(
            near(*left, x(from)) && (near(*right, x(to)) || *right == left + 2),
            "{words}: {left} {right}"
        );
        let lane = 44 + 30 * i32::try_from(*row).expect("few");
        assert!(*top > lane && *bottom < lane + 30, "{words}: {top} {bottom}");
        let tall = match item.shape {
            // 24 units for all hands, no less than four for a little of them.
            Shape::Hands(percent) => (24 * percent / 100).max(4),
            _ => 24,
        };
        assert_eq!((bottom - top, *bottom), (tall, lane + 27), "{words}");
        // Its name, if it has room, stands inside and is its own.
        let group = picture
            .svg
            .split("<g><title>")
            .nth(n + 1)
            .and_then(|g| g.split("</g>").next())
            .expect("a group");
        for (at, base, name) in self::texts(group) {
            let start = name.trim_end_matches('…');
            assert!(item.names.iter().any(|n| n.starts_with(start)), "{words}: {name}");
            let wide = i32::try_from(name.chars().count()).expect("short") * 868 / 100;
            assert!(at > *left && at + wide <= *right, "{words}: {name}");
            assert!(base > lane + 12 && base < lane + 27, "{words}: {base}");
            assert!(!matches!(item.shape, Shape::Hands(..70)), "no room beside a low bar");
        }
        let named = group.contains("<text");
        // On hatching a name has a ground of its own, as wide as it is.
        let grounds = all(group, "height=\"18\" fill=\"").len();
        assert_eq!(grounds, usize::from(named && item.shape == Shape::Hold), "{words}");
        if grounds == 1 {
            let (at, _, name) = self::texts(group).swap_remove(0);
            let ground = group.split("<rect ").nth(2).expect("the ground");
            let wide: i32 = all(ground, "width=\"")[0].parse().expect("a width");
            let letters = i32::try_from(name.chars().count()).expect("short") * 868 / 100;
            assert!(
                ground.starts_with(&format!("x=\"{}\"", at - 1))
                    && (letters..letters + 3).contains(&wide),
                "{ground}"
            );
        }
        let letters = (right - left - 6) * 100 / 868;
        let least = item.names.iter().map(|n| n.chars().count()).min().unwrap_or(0);
        let low = matches!(item.shape, Shape::Hands(..70));
        assert_eq!(
            named,
            !low && letters >= i32::try_from(least).expect("short").min(3),
            "{words}"
        );
    }
    // A dish has its own ground wherever it is.
    let fill = |words: &str| {
        let group = picture.svg.split("<g><title>").find(|g| g.contains(words)).expect("a group");
        all(group, " fill=\"")[0].to_owned()
    };
    let (roast, chips) = (fill("Roast, season"), fill("Chips, fry 1/3"));
    assert!(roast != chips && roast == fill("Roast, roast, 180"), "{roast} {chips}");
    // Times at the ends of the clock stay inside.
    for end in [
        ">16:00<",
        " text-anchor=\"middle\">16:30<",
        " text-anchor=\"middle\">19:00<",
        " text-anchor=\"end\">19:30<",
    ] {
        assert!(picture.svg.contains(&format!("y=\"36\"{end}")), "{end}");
    }
    // Each lane has its name before it, and the picture ends below the last.
    for (row, lane) in lanes.iter().enumerate() {
        let y = 44 + 30 * i32::try_from(row).expect("few") + 20;
        let name = texts.iter().find(|t| (t.0, t.1) == (6, y)).expect("a name");
        assert!(lane.title.starts_with(name.2.trim_end_matches('…')), "{name:?}");
        assert!(name.2.chars().count() * 868 / 100 < 170, "{name:?}");
    }
    assert_eq!(picture.height, 44 + 30 * i32::try_from(lanes.len()).expect("few") + 8);
}

/// One below the other, nothing upon another; the legend at the end, inside.
#[test]
fn all_stretches_stand_below_each_other() {
    let (evening, mut plan) = busy();
    for block in plan.blocks.iter_mut().filter(|b| (b.key.dish, b.key.step) == (2, 0)) {
        (block.start, block.end) = (-420, -414);
    }
    let pictures = pictures(&evening, &plan);
    assert_eq!(pictures.len(), 2);
    let before: Vec<String> = drawn(&pictures[0].svg).into_iter().map(|d| d.0).collect();
    assert!(
        before.len() == 2 && before.iter().all(|w| w.starts_with("17:00 to 17:06: ")),
        "{before:?}"
    );
    assert!(drawn(&pictures[1].svg).iter().all(|d| !d.0.starts_with("17:00 to 17:06: ")));
    assert!(!pictures[0].svg.contains("19:00 Supper"));
    let svg = whole(&evening, &plan);
    let tops: Vec<i32> = all(&svg, "translate(0 ")
        .iter()
        .filter_map(|t| t.split(')').next()?.parse().ok())
        .collect();
    assert_eq!(tops.len(), 2);
    assert!(tops[0] >= 40, "below the name of the party");
    assert!(tops[1] - tops[0] > pictures[0].height + 14, "with room for its title");
    let legend = legend(&evening, &plan);
    let texts = texts(&svg);
    let at: Vec<i32> = legend
        .iter()
        .map(|line| texts.iter().find(|t| t.2 == *line).unwrap_or_else(|| panic!("{line}")).1)
        .collect();
    assert!(
        at[0] > tops[1] + pictures[1].height && at.windows(2).all(|w| w[1] - w[0] >= 16),
        "{at:?}"
    );
    let height: i32 = all(&svg, "viewBox=\"0 0 1000 ")[0].parse().expect("a height");
    assert!(at[at.len() - 1] < height && height < at[at.len() - 1] + 40, "{at:?} {height}");
    for (picture, top) in pictures.iter().zip(&tops) {
        let title = texts.iter().find(|t| t.2 == picture.title).expect("its title");
        assert!(title.1 < *top && title.1 > top - 20, "{title:?}");
    }
}

/// What was planned and below it what happened, dish by dish; what nothing is said of has no lane.
#[test]
fn an_evening_looked_back_at_has_both_lanes_of_each_dish() {
    let (evening, plan) = supper();
    let happened = |dish, (from, to): (Minute, Minute), label: &str, waits| Happened {
        dish,
        from,
        to,
        label: label.to_owned(),
        words: format!("{} to {}: {label}", evening.face.label(from), evening.face.label(to)),
        waits,
    };
    let mut plan = plan;
    plan.blocks.retain(|b| b.key.dish < 2 && b.key.load == 0);
    let all =
        [happened(0, (985, 1050), "roasted", false), happened(0, (1050, 1130), "kept hot", true)];
    let pictures = compared(&evening, &plan, &all);
    let words: Vec<String> = pictures.iter().flat_map(|p| drawn(&p.svg)).map(|d| d.0).collect();
    assert_eq!(
        words,
        [
            "Roast, planned: season, 16:00 to 16:10",
            "Roast, planned: roast, 16:20 to 17:20",
            "Roast, planned: rest, 17:20 to 17:30",
            "16:25 to 17:30: roasted",
            "17:30 to 18:50: kept hot",
            "Chips, planned: cut, 17:40 to 17:52",
            "Chips, planned: fry, 18:30 to 18:39",
        ]
    );
    let names: Vec<String> =
        texts(&pictures[0].svg).into_iter().filter(|t| t.0 == 6).map(|t| t.2).collect();
    assert_eq!(names, ["R as planned", "R Roast", "C as planned"]);
    let group =
        |words: &str| pictures[0].svg.split("<g>").find(|g| g.contains(words)).expect("a group");
    assert!(group("Roast, planned: roast").contains("stroke-dasharray"));
    assert!(group("kept hot").contains("url(#hatch-0)") && !group("roasted").contains("hatch"));
    let whole = compared_whole(&evening, &plan, &all);
    assert!(texts(&whole).iter().any(|t| t.2 == LEGEND));
    assert_eq!(drawn(&whole).len(), words.len());
}

/// A title that would run over the edge stands before its line instead.
#[test]
fn the_name_of_a_service_stays_inside() {
    let (mut evening, plan) = busy();
    // 880 + 8.68 units a letter, of at most 996: 13 letters stand behind the line, 14 before it.
    for (title, anchor) in [("Supper", ""), ("Suppers", ""), ("Supper 1", " text-anchor=\"end\"")] {
        evening.party.services[0].title = title.to_owned();
        let svg = &pictures(&evening, &plan)[0].svg;
        let words = format!("y=\"14\"{anchor} font-weight=\"bold\">19:00 {title}<");
        assert!(svg.contains(&words), "{words} in {svg}");
    }
}

/// Season at four, and nothing more until supper: supper is drawn for all that, with what waits for it, and once.
#[test]
fn a_service_long_after_the_work_is_drawn_too() {
    let (evening, mut plan) = supper();
    plan.blocks.retain(|b| (b.key.dish, b.key.step) == (0, 0));
    plan.settings.clear();
    let titles = |plan: &Plan| -> Vec<String> {
        pictures(&evening, plan).into_iter().map(|p| p.title).collect()
    };
    assert_eq!(titles(&plan), ["16:00 to 16:30", "18:30 to 19:30"]);
    let both = pictures(&evening, &plan);
    assert!(!both[0].svg.contains("19:00 Supper") && both[1].svg.contains("19:00 Supper"));
    assert_eq!(drawn(&both[0].svg).len(), 2, "hands and board");
    let waits = drawn(&both[1].svg);
    assert!(
        waits.len() == 3 && waits.iter().all(|w| w.0.ends_with("waits for its service")),
        "{waits:?}"
    );
    // Where it is due, though nothing is served; and where it is served, however late.
    plan.services.clear();
    assert_eq!(titles(&plan), ["16:00 to 16:30", "18:30 to 19:30"]);
    let late = supper().1;
    plan.services = late.services;
    plan.services[0].dishes[0].2 = 23 * 60 + 10;
    assert_eq!(titles(&plan), ["16:00 to 16:30", "18:30 to 19:30", "23:00 to 23:30"]);
}
