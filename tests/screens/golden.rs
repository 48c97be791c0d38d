//! Golden screens: the signs of a screen, the style of every cell as a letter,
//! and what the letters mean. `INSTA_UPDATE=always cargo test --test screens`
//! writes them anew; look at the difference before committing it.

use std::fmt::Write;

use potwatch::plan::risk::{Forecast, Odds, Threat};
use potwatch::run::Ending;
use potwatch::screen::{Ui, draw};
use ratatui::buffer::{Buffer, Cell};
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::layout::Rect;
use ratatui::style::{Color, Modifier};

use crate::fixture::{LOOKS, Show};

fn style(cell: &Cell) -> String {
    let mut words = Vec::new();
    let colour = |c: Color| match c {
        Color::Rgb(r, g, b) => format!("#{r:02x}{g:02x}{b:02x}"),
        other => format!("{other:?}").to_lowercase(),
    };
    if cell.fg != Color::Reset {
        words.push(colour(cell.fg));
    }
    if cell.bg != Color::Reset {
        words.push(format!("on {}", colour(cell.bg)));
    }
    for (bit, word) in [
        (Modifier::BOLD, "bold"),
        (Modifier::UNDERLINED, "underlined"),
        (Modifier::REVERSED, "reversed"),
    ] {
        if cell.modifier.contains(bit) {
            words.push(word.to_owned());
        }
    }
    words.join(" ")
}

/// The grids of a screen.
pub fn grids(buf: &Buffer) -> String {
    let mut legend: Vec<String> = vec![String::new()];
    let (mut signs, mut styles) = (String::new(), String::new());
    for y in 0..buf.area.height {
        let (mut sign_row, mut style_row, mut skip) = (String::new(), String::new(), 0);
        for x in 0..buf.area.width {
            let cell = &buf[(x, y)];
            if skip == 0 {
                sign_row.push_str(cell.symbol());
                skip = potwatch::screen::text::width(cell.symbol());
            }
            skip = skip.saturating_sub(1);
            let style = style(cell);
            let at = legend.iter().position(|s| *s == style).unwrap_or_else(|| {
                legend.push(style);
                legend.len() - 1
            });
            let letters = " abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
            style_row.push(letters.chars().nth(at).expect("few styles"));
        }
        writeln!(signs, "{}", sign_row.trim_end()).expect("a string");
        writeln!(styles, "{}", style_row.trim_end()).expect("a string");
    }
    let mut out = format!("{signs}---\n{styles}---\n");
    for (at, words) in legend.iter().enumerate().skip(1) {
        let letters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
        let letter = letters.chars().nth(at - 1).expect("few styles");
        writeln!(out, "{letter} {words}").expect("a string");
    }
    out
}

fn drawn(show: &Show, keys: &[KeyCode], look: usize, (width, height): (u16, u16)) -> Buffer {
    let scene = show.scene(LOOKS[look].1);
    let mut ui = Ui { window: (width, height), ..Ui::default() };
    for (i, &code) in keys.iter().enumerate() {
        let _ = ui.key(KeyEvent::new(code, KeyModifiers::NONE), &scene, 10_000 * i as i64);
    }
    ui.refresh(&scene, 1_000_000);
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    let _ = draw(area, &mut buf, &scene, &ui);
    buf
}

fn hold(name: &str, buf: &Buffer) {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path("../snapshots");
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!(name, grids(buf)));
}

#[test]
fn the_chart_in_every_look_and_size() {
    let show = Show::busy();
    for (look, (name, _)) in LOOKS.iter().enumerate() {
        for size in [(80, 24), (120, 36), (200, 60)] {
            let buf = drawn(&show, &[], look, size);
            hold(&format!("chart_{name}_{}x{}", size.0, size.1), &buf);
        }
    }
}

#[test]
fn the_chart_when_all_goes_well() {
    let show = Show::at((17, 33, 20));
    for (name, keys) in [
        ("calm", &[][..]),
        ("close", &[KeyCode::Char('w'), KeyCode::Char('w')]),
        ("whole", &[KeyCode::Char('w')]),
        ("chosen", &[KeyCode::Down, KeyCode::Down]),
        ("all_lanes", &[KeyCode::Char('l'), KeyCode::PageDown]),
    ] {
        hold(&format!("chart_{name}"), &drawn(&show, keys, 0, (80, 24)));
    }
}

#[test]
fn every_page_and_card() {
    let show = Show::busy();
    let c = KeyCode::Char;
    let fronts: [(&str, &[KeyCode]); 12] = [
        ("big_alarm", &[c('2')]),
        ("holding", &[c('3')]),
        ("plan", &[c('4')]),
        ("alarms", &[c('5')]),
        ("help", &[c('?')]),
        ("actions", &[c('a')]),
        ("detail", &[KeyCode::Down, KeyCode::Enter]),
        ("more", &[c('m')]),
        ("place", &[c('h')]),
        ("service", &[c('v')]),
        ("temperature", &[c('t'), c('7'), c('4')]),
        ("drop", &[c('x')]),
    ];
    for (name, keys) in fronts {
        for size in [(80, 24), (120, 36)] {
            let buf = drawn(&show, keys, 3, size);
            hold(&format!("{name}_{}x{}", size.0, size.1), &buf);
        }
    }
    let flood = Show::flood();
    for (name, keys) in [
        ("flood_chart", &[][..]),
        ("flood_big", &[c('2')]),
        ("flood_alarms", &[c('5')]),
        ("flood_answer", &[c('r')]),
    ] {
        for size in [(80, 24), (120, 36)] {
            hold(&format!("{name}_{}x{}", size.0, size.1), &drawn(&flood, keys, 0, size));
        }
    }
    let calm = Show::at((17, 33, 20));
    for size in [(80, 24), (120, 36)] {
        hold(&format!("big_{}x{}", size.0, size.1), &drawn(&calm, &[c('2')], 0, size));
    }
}

#[test]
fn the_pages_before_the_evening() {
    let c = KeyCode::Char;
    let fronts: [(&str, &[KeyCode]); 8] = [
        ("menu", &[c('9'), KeyCode::Down]),
        ("guests", &[c('9'), c('2'), KeyCode::Down, KeyCode::Down]),
        ("shopping", &[c('9'), c('3'), KeyCode::Down, KeyCode::Down]),
        ("mise", &[c('9'), c('4'), KeyCode::Down]),
        ("trays", &[c('9'), c('5'), KeyCode::Down]),
        ("serving", &[c('9'), c('6'), KeyCode::Down]),
        ("ahead", &[c('9'), c('7'), KeyCode::Down]),
        ("sheets", &[c('9'), c('8')]),
    ];
    for (name, keys) in fronts {
        for (look, size) in [(0, (80, 24)), (3, (80, 24)), (1, (120, 36)), (0, (200, 60))] {
            let buf = drawn(&Show::at((17, 33, 20)).stocked(), keys, look, size);
            hold(&format!("{name}_{}_{}x{}", LOOKS[look].0, size.0, size.1), &buf);
        }
        hold(&format!("{name}_busy"), &drawn(&Show::busy(), keys, 0, (80, 24)));
    }
    let scaling = [c('9'), c('0'), KeyCode::Down];
    for (look, size) in [(0, (80, 24)), (3, (80, 24)), (1, (120, 36)), (0, (200, 60))] {
        let show = Show::at((17, 33, 20)).stocked().for_forty();
        let name = format!("scaling_{}_{}x{}", LOOKS[look].0, size.0, size.1);
        hold(&name, &drawn(&show, &scaling, look, size));
    }
}

#[test]
fn why_a_block_stands_where_it_does() {
    let show = Show::explained();
    let c = KeyCode::Char;
    // The pie's bake is found as the cook finds it, on the list of the plan.
    let to_the_pie = to_block(&show, "pie", "bake");
    for (look, (name, _)) in LOOKS.iter().enumerate().filter(|l| l.0 != 2) {
        for size in [(80, 24), (120, 36), (200, 60)] {
            let keys = [&to_the_pie[..], &[c('y'), c('y')]].concat();
            let buf = drawn(&show, &keys, look, size);
            hold(&format!("why_{name}_{}x{}", size.0, size.1), &buf);
        }
    }
    let mut waits = Show::at((17, 33, 20));
    hold("why_waits_80x24", &drawn(&waits, &[KeyCode::Down, c('y')], 3, (80, 24)));
    let key = waits.supper.key("pie", "bake", 0);
    let mut answer = potwatch::plan::why::Answer::new(key);
    answer.done = true;
    waits.status.why = Some(std::sync::Arc::new(answer));
    let keys = [&to_the_pie[..], &[c('y')]].concat();
    hold("why_unsettled_80x24", &drawn(&waits, &keys, 3, (80, 24)));
}

/// The keys that choose a block on the list of the plan.
fn to_block(show: &Show, dish: &str, step: &str) -> Vec<KeyCode> {
    let scene = show.scene(LOOKS[0].1);
    let key = show.supper.key(dish, step, 0);
    let mut keys = vec![KeyCode::Char('4'), KeyCode::PageUp, KeyCode::PageUp, KeyCode::PageUp];
    keys.extend([KeyCode::PageUp; 6]);
    for _ in 0..200 {
        let mut ui = Ui::default();
        for &code in &keys {
            let _ = ui.key(KeyEvent::new(code, KeyModifiers::NONE), &scene, 0);
        }
        if ui.focus_step(&scene) == Some(key) {
            return keys;
        }
        keys.push(KeyCode::Down);
    }
    panic!("{dish}/{step} is not on the list");
}

#[test]
fn ways_out_and_what_ifs() {
    let show = Show::busy();
    let c = KeyCode::Char;
    let fronts: [(&str, &[KeyCode]); 3] = [
        ("ways", &[c('7')]),
        ("what_if", &[c('8'), KeyCode::Down, KeyCode::Down]),
        ("type_try", &[c('8'), c('y'), c('d'), c('r')]),
    ];
    for (name, keys) in fronts {
        for size in [(80, 24), (120, 36), (200, 60)] {
            let buf = drawn(&show, keys, 0, size);
            hold(&format!("{name}_{}x{}", size.0, size.1), &buf);
        }
    }
    let mut fits = Show::at((17, 33, 20));
    fits.status.ways.done = true;
    fits.status.ways.best = Some(Ok(potwatch::plan::ways::Figures::default()));
    hold("ways_none_80x24", &drawn(&fits, &[c('7')], 3, (80, 24)));
}

#[test]
fn the_report_and_small_windows() {
    let mut show = Show::at((20, 30, 0));
    show.view.ending = Some(Ending {
        title: "All is served; 2 dishes are still out.".into(),
        closed: false,
        lines: vec!["Starters: asked for 18:00, served 18:02, 2 min late".into()],
    });
    show.view.do_now.clear();
    show.view.next.clear();
    show.view.expected = None;
    show.status.report = (1..40).map(|n| format!("  line {n} of the report")).collect();
    show.status.report.insert(0, "Services".into());
    for size in [(80, 24), (120, 36)] {
        hold(&format!("all_served_{}x{}", size.0, size.1), &drawn(&show, &[], 3, size));
    }
    hold("all_served_big", &drawn(&show, &[KeyCode::Char('2')], 3, (80, 24)));
    if let Some(ending) = &mut show.view.ending {
        (ending.title, ending.closed) = ("The evening is over.".into(), true);
    }
    hold("over_80x24", &drawn(&show, &[], 3, (80, 24)));
    hold("over_big", &drawn(&show, &[KeyCode::Char('2')], 3, (80, 24)));
    let far = [KeyCode::Char('6'), KeyCode::PageDown, KeyCode::PageDown, KeyCode::PageDown];
    hold("report_80x24", &drawn(&show, &far[..1], 3, (80, 24)));
    hold("report_end_80x24", &drawn(&show, &far, 3, (80, 24)));
    // Once back from the end shows what lies before it at once.
    let mut back = far.to_vec();
    back.push(KeyCode::Up);
    hold("report_back_80x24", &drawn(&show, &back, 3, (80, 24)));
    let busy = Show::busy();
    hold("small_40x12", &drawn(&busy, &[], 3, (40, 12)));
    hold("small_20x2", &drawn(&busy, &[], 3, (20, 2)));
    let mut trouble = Show::at((17, 33, 20));
    trouble.status.trouble = Some("Marks cannot be saved: the disk is full.".into());
    hold("trouble_80x24", &drawn(&trouble, &[], 3, (80, 24)));
    // Who marks something while no plan fits sees that it was taken.
    trouble.status.trouble = Some("No plan meets all of it: the soup needs a larger pot.".into());
    trouble.status.echo = Some("taken: soup at 64 °C".into());
    hold("trouble_and_a_mark_80x24", &drawn(&trouble, &[], 3, (80, 24)));
}

/// An evening whose oven ran a third slow, looked back at; worked out once for all tests.
pub fn looked_back() -> Show {
    use std::sync::{Arc, OnceLock};

    use potwatch::kitchen::StationKind;
    use potwatch::run::look_back::{LookBack, look_back};
    use potwatch::run::{Mark, fold};
    static BACK: OnceLock<Arc<LookBack>> = OnceLock::new();
    let mut show = Show::at((21, 30, 0));
    let back = BACK.get_or_init(|| {
        let pace = |kind| if kind == StationKind::Oven { 1.35 } else { 1.0 };
        let supper = &show.supper;
        let events = crate::past::events(&supper.evening, supper.plan.clone(), pace);
        let numbered = events.into_iter().zip(1..);
        let marks: Vec<Mark> =
            numbered.map(|((at_ms, event), seq)| Mark { seq, at_ms, event }).collect();
        let last = marks.last().map_or(0, |m| m.at_ms);
        let state = fold(Arc::new(supper.evening.clone()), &marks);
        Arc::new(look_back(&state, last))
    });
    show.status.back = Some(Arc::clone(back));
    show.status.report = vec!["Services".into(), "  Mains: asked for 19:00, served 19:20".into()];
    show
}

/// Planned against actual, why, and next time.
#[test]
fn looking_back() {
    let show = looked_back();
    let c = KeyCode::Char;
    let right = KeyCode::Right;
    let faces = [
        ("chart", vec![c('6'), right]),
        ("why", vec![c('6'), right, right]),
        ("next", vec![c('6'), right, right, right, KeyCode::Down]),
    ];
    for (name, keys) in &faces {
        for size in [(80, 24), (120, 36), (200, 60)] {
            hold(&format!("look_back_{name}_{}x{}", size.0, size.1), &drawn(&show, keys, 0, size));
        }
    }
    for look in [3, 4] {
        let name = format!("look_back_chart_{}_80x24", LOOKS[look].0);
        hold(&name, &drawn(&show, &faces[0].1, look, (80, 24)));
    }
}

/// How the services fare: on the chart's lines and on the plan page.
#[test]
fn chances_stand_at_the_services() {
    let mut show = Show::at((17, 10, 0));
    let odds = |service, on_time, threats: &[(usize, usize)]| Odds {
        service,
        on_time,
        evenings: 2_000,
        threats: threats
            .iter()
            .map(|&(dish, step)| Threat { dish, step, evenings: 40, over_minutes: 6 })
            .collect(),
        ..Odds::default()
    };
    let services = vec![odds(0, 1_884, &[(0, 1), (2, 2)]), odds(1, 1_540, &[(4, 1)])];
    show.status.odds = Some(Forecast { evenings: 2_000, services });
    for (name, keys) in [("chart", vec![]), ("plan", vec![KeyCode::Char('4'), KeyCode::End])] {
        for size in [(80, 24), (120, 36), (200, 60)] {
            let buf = drawn(&show, &keys, 0, size);
            hold(&format!("chances_{name}_{}x{}", size.0, size.1), &buf);
        }
    }
    let all = grids(&drawn(&show, &[], 0, (120, 36)));
    assert!(all.contains("Starters 18:00, 94 %"), "{all}");
}
