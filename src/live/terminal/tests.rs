use std::io;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use ratatui::layout::Size;
use ratatui::style::{Modifier, Style};
use ratatui::widgets::Paragraph;

use super::{Device, Stage, Terminal};

/// A terminal that an emulator stands in for. Writes can be made to fail.
#[derive(Clone, Default)]
struct Emulator(Arc<Mutex<Inside>>);

struct Inside {
    parser: vt100::Parser,
    bytes: Vec<u8>,
    writes: usize,
    raw: bool,
    raw_switches: usize,
    size: Size,
    broken: bool,
    dropped_input: usize,
}

impl Default for Inside {
    fn default() -> Self {
        Self {
            parser: vt100::Parser::new(10, 40, 0),
            bytes: Vec::new(),
            writes: 0,
            raw: false,
            raw_switches: 0,
            size: Size::new(40, 10),
            broken: false,
            dropped_input: 0,
        }
    }
}

impl Emulator {
    fn look<T>(&self, f: impl FnOnce(&mut Inside) -> T) -> T {
        f(&mut self.0.lock().unwrap())
    }

    fn text(&self) -> String {
        self.look(|i| i.parser.screen().contents())
    }

    /// Alternate screen, raw, hidden cursor, paste and mouse reports, in this order.
    fn switches(&self) -> [bool; 5] {
        self.look(|i| {
            let s = i.parser.screen();
            let mouse = s.mouse_protocol_mode() != vt100::MouseProtocolMode::None;
            [s.alternate_screen(), i.raw, s.hide_cursor(), s.bracketed_paste(), mouse]
        })
    }
}

impl Device for Emulator {
    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.look(|i| {
            if i.broken {
                return Err(io::Error::from_raw_os_error(5));
            }
            i.parser.process(bytes);
            i.bytes.extend_from_slice(bytes);
            i.writes += 1;
            Ok(())
        })
    }

    fn raw(&mut self, on: bool) -> io::Result<()> {
        self.look(|i| {
            i.raw = on;
            i.raw_switches += 1;
        });
        Ok(())
    }

    fn size(&self) -> io::Result<Size> {
        Ok(self.look(|i| i.size))
    }

    fn drop_input(&mut self) {
        self.look(|i| i.dropped_input += 1);
    }
}

const OFF: [bool; 5] = [false; 5];
const ON: [bool; 5] = [true, true, true, true, false];

fn say(terminal: &mut Terminal, text: &str) {
    terminal.draw(|f| f.render_widget(Paragraph::new(text), f.area())).unwrap();
}

fn count(haystack: &[u8], needle: &[u8]) -> usize {
    haystack.windows(needle.len()).filter(|w| *w == needle).count()
}

#[test]
fn on_and_off_are_a_pair_and_once_is_as_good_as_twice() {
    let emulator = Emulator::default();
    let stage = Stage::new(emulator.clone());
    emulator.look(|i| i.parser.process(b"$ potwatch"));
    let mut terminal = Terminal::enter(&stage).unwrap();
    stage.enter().unwrap();
    assert_eq!(emulator.switches(), ON);
    say(&mut terminal, "soup");
    assert!(emulator.text().starts_with("soup"));
    drop(terminal);
    stage.leave();
    assert_eq!(emulator.switches(), OFF);
    assert!(emulator.text().starts_with("$ potwatch"), "the shell's text is back");
    let (sent, switched) = emulator.look(|i| (i.bytes.clone(), i.raw_switches));
    assert_eq!((count(&sent, b"\x1b[?1049h"), count(&sent, b"\x1b[?1049l"), switched), (1, 1, 2));
    assert_eq!((count(&sent, b"\x1b[22;0t"), count(&sent, b"\x1b[23;0t")), (1, 1), "title");
    assert_eq!((count(&sent, b"\x1b[?1004h"), count(&sent, b"\x1b[?1004l")), (1, 1), "focus");
}

#[test]
fn a_frame_is_one_write_and_shown_at_once() {
    let emulator = Emulator::default();
    let mut terminal = Terminal::enter(&Stage::new(emulator.clone())).unwrap();
    emulator.look(|i| (i.bytes.clear(), i.writes = 0));
    say(&mut terminal, "soup on the stove");
    let (bytes, writes) = emulator.look(|i| (i.bytes.clone(), i.writes));
    assert_eq!(writes, 1);
    assert!(bytes.starts_with(b"\x1b[?2026h") && bytes.ends_with(b"\x1b[?2026l"));
    assert_eq!((count(&bytes, b"\x1b[?2026h"), count(&bytes, b"\x1b[?2026l")), (1, 1));
}

#[test]
fn paused_draws_nothing_and_resumed_draws_everything() {
    let emulator = Emulator::default();
    let stage = Stage::new(emulator.clone());
    let mut terminal = Terminal::enter(&stage).unwrap();
    say(&mut terminal, "soup");
    stage.pause();
    assert_eq!(emulator.switches(), OFF);
    emulator.look(|i| i.parser.process(b"\r\nshell text"));
    let sent = emulator.look(|i| i.bytes.len());
    say(&mut terminal, "pie");
    stage.send(b"\x07").unwrap();
    assert_eq!(emulator.look(|i| i.bytes.len()), sent, "nothing while paused");
    assert!(stage.resume().unwrap());
    assert_eq!(emulator.switches(), ON);
    assert_eq!(emulator.look(|i| i.dropped_input), 1);
    say(&mut terminal, "soup");
    assert_eq!(emulator.text().trim_end(), "soup", "also what did not change is drawn again");
}

#[test]
fn stopped_from_outside_and_continued_is_set_up_anew() {
    let emulator = Emulator::default();
    let stage = Stage::new(emulator.clone());
    let mut terminal = Terminal::enter(&stage).unwrap();
    say(&mut terminal, "soup");
    // Stopped without notice: the shell prints on our screen and sets the terminal to cooked.
    emulator.look(|i| {
        i.parser.process(b"\x1b[?25h\x1b[3;1H[1]+ Stopped");
        i.raw = false;
    });
    assert!(stage.resume().unwrap());
    say(&mut terminal, "soup");
    assert_eq!((emulator.switches(), emulator.text().trim_end()), (ON, "soup"));
    assert_eq!(emulator.look(|i| count(&i.bytes, b"\x1b[22;0t")), 1, "the title is put by once");
}

#[test]
fn left_is_left() {
    let emulator = Emulator::default();
    let stage = Stage::new(emulator.clone());
    drop(Terminal::enter(&stage).unwrap());
    assert!(!stage.resume().unwrap());
    assert_eq!(emulator.switches(), OFF);
}

#[test]
fn mouse_only_when_asked_for_and_off_at_the_end() {
    let emulator = Emulator::default();
    let stage = Stage::new(emulator.clone());
    let _terminal = Terminal::enter(&stage).unwrap();
    stage.set_mouse(true).unwrap();
    assert!(emulator.switches()[4]);
    stage.pause();
    assert!(!emulator.switches()[4]);
    stage.resume().unwrap();
    assert!(emulator.switches()[4], "still wanted after a pause");
    stage.set_mouse(false).unwrap();
    assert!(!emulator.switches()[4]);
    stage.set_mouse(true).unwrap();
    stage.leave();
    assert_eq!(emulator.switches(), OFF);
}

#[test]
fn a_terminal_that_takes_nothing_is_not_left_raw() {
    let emulator = Emulator::default();
    emulator.look(|i| i.broken = true);
    let stage = Stage::new(emulator.clone());
    assert!(Terminal::enter(&stage).is_err());
    assert!(!emulator.look(|i| i.raw) && !stage.is_entered());
    assert!(!stage.resume().unwrap());
}

#[test]
fn no_size_and_absurd_sizes_are_survived() {
    let emulator = Emulator::default();
    let stage = Stage::new(emulator.clone());
    let mut terminal = Terminal::enter(&stage).unwrap();
    for size in [(0, 0), (0, 5), (5, 0), (1, 1), (u16::MAX, u16::MAX), (40, 10)] {
        emulator.look(|i| i.size = size.into());
        say(&mut terminal, "soup");
    }
    assert!(emulator.text().contains("soup"));
}

#[test]
fn leaving_does_not_wait_for_a_thread_that_hangs_in_a_write() {
    struct Stuck;
    impl Device for Stuck {
        fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
            if bytes == b"stuck" {
                std::thread::sleep(Duration::from_millis(1500));
            }
            Ok(())
        }
        fn raw(&mut self, _on: bool) -> io::Result<()> {
            Ok(())
        }
        fn size(&self) -> io::Result<Size> {
            Ok(Size::new(10, 10))
        }
        fn drop_input(&mut self) {}
    }
    let stage = Stage::new(Stuck);
    stage.enter().unwrap();
    let writer = stage.clone();
    let thread = std::thread::spawn(move || writer.send(b"stuck"));
    while stage.shared_is_free() {
        std::thread::sleep(Duration::from_millis(1));
    }
    let begun = Instant::now();
    stage.leave();
    assert!(begun.elapsed() < Duration::from_millis(1200));
    thread.join().unwrap().unwrap();
}

#[test]
fn bold_without_colour_stays_bold() {
    let emulator = Emulator::default();
    let mut terminal = Terminal::enter(&Stage::new(emulator.clone())).unwrap();
    let style = Style::new().add_modifier(Modifier::BOLD | Modifier::REVERSED);
    terminal.draw(|f| f.render_widget(Paragraph::new("late").style(style), f.area())).unwrap();
    let cell = emulator.look(|i| i.parser.screen().cell(0, 0).unwrap().clone());
    assert!(cell.bold() && cell.inverse());
}
