//! The mouse, or a finger on a touch screen.

use ratatui::crossterm::event::{MouseButton, MouseEvent, MouseEventKind};

use super::press::moved;
use super::{Page, Ui};
use crate::screen::card::Card;
use crate::screen::keys::{Act, Press};
use crate::screen::{Hit, Hits, Intent, Scene, card, chart, page};

impl Ui {
    /// What a press or a turn of the wheel means. `hits` is what the last
    /// [`draw`](crate::screen::draw) gave.
    pub fn mouse(
        &mut self,
        event: MouseEvent,
        hits: &Hits,
        scene: &Scene,
        real_ms: i64,
    ) -> Vec<Intent> {
        self.refresh(scene, real_ms);
        let intents = match event.kind {
            MouseEventKind::Down(MouseButton::Left) => match hits.at(event.column, event.row) {
                Some(hit) => self.hit(hit, scene, real_ms),
                None => Vec::new(),
            },
            MouseEventKind::ScrollUp => {
                self.wheel(false, scene);
                Vec::new()
            }
            MouseEventKind::ScrollDown => {
                self.wheel(true, scene);
                Vec::new()
            }
            _ => Vec::new(),
        };
        self.choose_row(scene);
        intents
    }

    fn hit(&mut self, hit: Hit, scene: &Scene, real_ms: i64) -> Vec<Intent> {
        match hit {
            Hit::Key(code) => self.weigh(Press { code, ctrl: false }, scene, real_ms),
            Hit::Block(sel) => {
                self.say = None;
                if self.selected == Some(sel) {
                    self.act(Act::Details, scene, real_ms)
                } else {
                    self.selected = Some(sel);
                    Vec::new()
                }
            }
            Hit::Row(row) if self.card.is_some() => card::press_row(self, row, scene, real_ms),
            Hit::Row(row) => {
                self.row = row;
                self.moved = true;
                Vec::new()
            }
            Hit::Page(page) => {
                self.go(page);
                Vec::new()
            }
            Hit::Face(face) => {
                self.turn_to(face);
                Vec::new()
            }
            Hit::Shelf(_) | Hit::Nothing => Vec::new(),
        }
    }

    fn wheel(&mut self, down: bool, scene: &Scene) {
        match &mut self.card {
            Some(Card::Help { scroll }) => {
                *scroll = if down { scroll.saturating_add(3) } else { scroll.saturating_sub(3) };
            }
            Some(_) => {}
            None if self.page == Page::Chart => {
                let lanes = chart::lanes(scene.evening, scene.plan, scene.view).len();
                self.all_lanes = true;
                self.lane_scroll = moved(self.lane_scroll, 1, down, lanes);
            }
            None => {
                self.row = moved(self.row, 1, down, page::rows(scene, self));
                self.moved = true;
            }
        }
    }
}
