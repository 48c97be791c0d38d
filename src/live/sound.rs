//! The three sounds, by rank: from a player if the machine has one, else from the terminal's bell.
//!
//! Sounding never blocks and never fails: the screen shows every alarm, with or without a sound. A thread of its own
//! starts the player, at most one at a time, ends it if it takes too long, and tries the next kind if one does not
//! work.
//!
//! Cadence model: IEC 60601-1-8, second-hand; no conformity is claimed.

mod player;

use std::ffi::OsStr;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, SyncSender, sync_channel};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use crate::run::Rank;
use player::{Players, Playing};

/// The longest that a player may take for a sound of less than a second.
const PLAY_MAX: Duration = Duration::from_secs(5);
/// How often a playing sound is looked at; nothing wakes while there is none.
const LOOK: Duration = Duration::from_millis(30);
/// Orders that may wait; more than these would be heard too late to mean anything.
const ORDERS_MAX: usize = 4;

/// The sound of a rank: a WAVE file of less than a second.
pub fn wav(rank: Rank) -> &'static [u8] {
    match rank {
        Rank::Urgent => include_bytes!("../../assets/sounds/urgent.wav"),
        Rank::Warning => include_bytes!("../../assets/sounds/warning.wav"),
        Rank::Notice => include_bytes!("../../assets/sounds/notice.wav"),
    }
}

/// When to send the bell, in milliseconds from the alarm: 3 and 2, 3, or 1 strokes. Many terminals take bells that
/// follow each other closer than this for one.
pub fn bell_at_ms(rank: Rank) -> &'static [u64] {
    match rank {
        Rank::Urgent => &[0, 250, 500, 1000, 1250],
        Rank::Warning => &[0, 400, 800],
        Rank::Notice => &[0],
    }
}

/// When a sound that nobody answered is heard again, in milliseconds; `None`: it is not.
///
/// Bounds from memory of the same standard (bursts 2.5 to 15 s apart for the highest rank, 2.5 to 30 s for the
/// middle one): not seen in a text.
pub fn again_after_ms(rank: Rank) -> Option<u64> {
    match rank {
        Rank::Urgent => Some(8_000),
        Rank::Warning => Some(25_000),
        Rank::Notice => None,
    }
}

/// Plays sounds through a player that was found on the machine.
pub struct Sounds {
    orders: Option<SyncSender<Order>>,
    thread: Option<JoinHandle<()>>,
    proved: Arc<AtomicBool>,
    /// The last player was given up, and nobody was told yet.
    silent: Arc<AtomicBool>,
}

enum Order {
    Play(Rank),
    Hush,
}

impl Sounds {
    /// Looks for players in the folders of `path` (the variable `PATH`). The sound files are unpacked into `folder`
    /// when the first sound is played. Over ssh there is no player: it would sound where nobody is.
    pub fn find(path: Option<&OsStr>, over_ssh: bool, folder: &Path) -> Self {
        let players = Players::find(path.filter(|_| !over_ssh), folder);
        Self::with(players, PLAY_MAX)
    }

    /// No player: the bell alone.
    pub fn bell_only() -> Self {
        Self { orders: None, thread: None, proved: Arc::default(), silent: Arc::default() }
    }

    fn with(players: Players, play_max: Duration) -> Self {
        if players.is_empty() {
            return Self::bell_only();
        }
        let (orders, received) = sync_channel(ORDERS_MAX);
        let (proved, silent) = (Arc::<AtomicBool>::default(), Arc::<AtomicBool>::default());
        let mut worker = Worker {
            players,
            play_max,
            playing: None,
            proved: proved.clone(),
            silent: silent.clone(),
        };
        let thread =
            thread::Builder::new().name("sound".into()).spawn(move || worker.serve(&received));
        match thread {
            Ok(thread) => Self { orders: Some(orders), thread: Some(thread), proved, silent },
            Err(_) => Self::bell_only(),
        }
    }

    /// Plays the sound of a rank, unless one of the same or a higher rank is playing. Returns at once.
    ///
    /// Says whether a player is known to work. While it is not, ring the bell as well.
    pub fn play(&self, rank: Rank) -> bool {
        if let Some(orders) = &self.orders {
            // Too many waiting: the ones that wait say as much.
            let _ = orders.try_send(Order::Play(rank));
        }
        self.proved.load(Ordering::SeqCst)
    }

    /// Was the last player given up since this was last asked? From then on the bell rings alone, until they are
    /// tried again.
    pub fn has_fallen_silent(&self) -> bool {
        self.silent.swap(false, Ordering::SeqCst)
    }

    /// Stops the sound that is playing.
    pub fn hush(&self) {
        if let Some(orders) = &self.orders {
            let _ = orders.try_send(Order::Hush);
        }
    }
}

impl Drop for Sounds {
    fn drop(&mut self) {
        self.orders = None;
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

struct Worker {
    players: Players,
    play_max: Duration,
    playing: Option<(Playing, Instant)>,
    proved: Arc<AtomicBool>,
    silent: Arc<AtomicBool>,
}

impl Worker {
    fn serve(&mut self, orders: &Receiver<Order>) {
        loop {
            let order = if self.playing.is_some() {
                orders.recv_timeout(LOOK)
            } else {
                orders.recv().map_err(RecvTimeoutError::from)
            };
            self.look_after_player();
            match order {
                Ok(Order::Play(rank)) => self.play(rank),
                Ok(Order::Hush) => self.stop(),
                Err(RecvTimeoutError::Timeout) => {}
                Err(RecvTimeoutError::Disconnected) => {
                    self.stop();
                    return;
                }
            }
        }
    }

    fn play(&mut self, rank: Rank) {
        if self.playing.as_ref().is_some_and(|(playing, _)| playing.rank >= rank) {
            return;
        }
        self.stop();
        let had_one = self.players.any_left();
        self.playing = self.players.start(rank, wav(rank)).map(|p| (p, Instant::now()));
        if self.playing.is_none() {
            self.proved.store(false, Ordering::SeqCst);
            if had_one && !self.players.any_left() {
                self.silent.store(true, Ordering::SeqCst);
            }
        }
    }

    fn stop(&mut self) {
        if let Some((mut playing, _)) = self.playing.take() {
            playing.end();
        }
    }

    fn look_after_player(&mut self) {
        let Some((playing, begun)) = &mut self.playing else { return };
        let worked = match playing.ended() {
            None if begun.elapsed() < self.play_max => return,
            None => {
                playing.end();
                false
            }
            Some(worked) => worked,
        };
        let rank = playing.rank;
        self.playing = None;
        self.proved.store(worked, Ordering::SeqCst);
        if !worked {
            self.players.give_up_current();
            if !self.players.any_left() {
                self.silent.store(true, Ordering::SeqCst);
                return;
            }
            self.play(rank);
        }
    }
}

#[cfg(all(test, unix))]
mod tests;
