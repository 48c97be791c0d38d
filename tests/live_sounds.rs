//! Makes the three sounds, and checks that the ones in `assets/sounds` are these, byte for byte.
//!
//! With `POTWATCH_MAKE_SOUNDS` set, the files are written instead of compared. Only additions and multiplications are
//! used, so every machine makes the same bytes.
//!
//! Cadence model: IEC 60601-1-8, second-hand (high: pulses 3-2; medium: 3; low: 1 or 2; fundamental 150 to 1000 Hz with
//! at least four harmonics between 300 and 4000 Hz, each within 15 dB; pulses 75 to 200 ms, for the lower ranks 125
//! to 250 ms). The standard itself was not seen; this is a kitchen program, and claims no conformity with it.

use std::path::PathBuf;

use potwatch::live::sound::wav;
use potwatch::run::Rank;

/// Samples a second.
const RATE: u32 = 22_050;
/// Sine amplitudes of the fundamental and three harmonics above it.
const HARMONICS: [f64; 4] = [1.0, 0.7, 0.5, 0.4];
const LOUDEST: f64 = 0.8 * 32_767.0;
/// Rise and fall of a pulse, so that it does not click.
const RISE_MS: u32 = 12;
const FALL_MS: u32 = 25;

/// One pulse: when it begins, how long it is, its fundamental.
struct Pulse {
    at_ms: u32,
    ms: u32,
    hz: f64,
}

fn pulses(rank: Rank) -> Vec<Pulse> {
    let pulse = |at_ms, ms, hz| Pulse { at_ms, ms, hz };
    match rank {
        Rank::Urgent => vec![
            pulse(0, 95, 740.0),
            pulse(150, 95, 740.0),
            pulse(300, 95, 740.0),
            pulse(560, 95, 932.0),
            pulse(710, 95, 932.0),
        ],
        Rank::Warning => {
            vec![pulse(0, 160, 494.0), pulse(300, 160, 494.0), pulse(600, 160, 622.0)]
        }
        Rank::Notice => vec![pulse(0, 240, 392.0)],
    }
}

fn name(rank: Rank) -> &'static str {
    match rank {
        Rank::Urgent => "urgent",
        Rank::Warning => "warning",
        Rank::Notice => "notice",
    }
}

const RANKS: [Rank; 3] = [Rank::Urgent, Rank::Warning, Rank::Notice];

/// The sine of `turns` of a circle, by its series, good to a millionth.
fn sine(turns: f64) -> f64 {
    let nearest = (turns + 0.5).floor();
    let x = (turns - nearest) * std::f64::consts::TAU;
    let square = x * x;
    let (mut term, mut sum) = (x, x);
    for n in 1..12 {
        let k = f64::from(2 * n);
        term = -term * square / (k * (k + 1.0));
        sum += term;
    }
    sum
}

fn samples_in(ms: u32) -> u32 {
    ms * RATE / 1000
}

fn make(rank: Rank) -> Vec<u8> {
    let pulses = pulses(rank);
    let len_ms = pulses.iter().map(|p| p.at_ms + p.ms).max().unwrap() + 20;
    let mut samples = vec![0.0; samples_in(len_ms) as usize];
    let scale = LOUDEST / HARMONICS.iter().sum::<f64>();
    for pulse in &pulses {
        let (start, len) = (samples_in(pulse.at_ms), samples_in(pulse.ms));
        for i in 0..len {
            let rise = f64::from(i) / f64::from(samples_in(RISE_MS));
            let fall = f64::from(len - i) / f64::from(samples_in(FALL_MS));
            let turns = f64::from(i) * pulse.hz / f64::from(RATE);
            let tone: f64 =
                HARMONICS.iter().zip([1.0, 2.0, 3.0, 4.0]).map(|(a, k)| a * sine(turns * k)).sum();
            samples[(start + i) as usize] = tone * scale * rise.min(fall).min(1.0);
        }
    }
    let samples: Vec<i16> = samples.iter().map(|s| (s + 0.5).floor() as i16).collect();
    file(&samples)
}

/// A WAVE file: the canonical 44-byte header (RIFF, "fmt ", "data"), then 16-bit samples, low byte first.
fn file(samples: &[i16]) -> Vec<u8> {
    let data = samples.len() as u32 * 2;
    let mut out = Vec::new();
    out.extend(b"RIFF");
    out.extend((36 + data).to_le_bytes());
    out.extend(b"WAVEfmt ");
    out.extend(16_u32.to_le_bytes());
    out.extend(1_u16.to_le_bytes()); // PCM
    out.extend(1_u16.to_le_bytes()); // mono
    out.extend(RATE.to_le_bytes());
    out.extend((RATE * 2).to_le_bytes()); // bytes a second
    out.extend(2_u16.to_le_bytes()); // bytes a sample
    out.extend(16_u16.to_le_bytes()); // bits a sample
    out.extend(b"data");
    out.extend(data.to_le_bytes());
    samples.iter().for_each(|s| out.extend(s.to_le_bytes()));
    out
}

#[test]
fn the_sounds_are_the_ones_made_here() {
    for rank in RANKS {
        let made = make(rank);
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("assets/sounds");
        let path = folder.join(format!("{}.wav", name(rank)));
        if std::env::var_os("POTWATCH_MAKE_SOUNDS").is_some() {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, &made).unwrap();
            continue;
        }
        assert!(
            std::fs::read(&path).unwrap() == made,
            "{} differs from what is made here",
            path.display()
        );
        assert!(wav(rank) == made, "the program holds another {}", name(rank));
        assert!(made.len() < 40_000, "{} bytes", made.len());
    }
}

// ---- what they sound like, measured from the bytes alone ----

fn heard(rank: Rank) -> Vec<f64> {
    let bytes = wav(rank);
    let shorts = bytes[44..].chunks_exact(2).map(|b| i16::from_le_bytes([b[0], b[1]]));
    shorts.map(|s| f64::from(s) / 32_768.0).collect()
}

/// Begin and end of each stretch of sound, in milliseconds: louder than 1/50 within any 5 ms.
fn stretches(samples: &[f64]) -> Vec<(u32, u32)> {
    let window = samples_in(5) as usize;
    let mut found: Vec<(u32, u32)> = Vec::new();
    let mut sounding = false;
    for (i, part) in samples.chunks(window).enumerate() {
        let at_ms = i as u32 * 5;
        let loud = part.iter().any(|s| s.abs() > 0.02);
        match (sounding, loud) {
            (false, true) => found.push((at_ms, at_ms + 5)),
            (true, true) => found.last_mut().unwrap().1 = at_ms + 5,
            _ => {}
        }
        sounding = loud;
    }
    found
}

/// How strong one frequency is (the discrete Fourier sum, with the standard library's sine).
fn strength(samples: &[f64], hz: f64) -> f64 {
    let (mut re, mut im) = (0.0, 0.0);
    for (i, s) in samples.iter().enumerate() {
        let angle = i as f64 * hz / f64::from(RATE) * std::f64::consts::TAU;
        re += s * angle.cos();
        im += s * angle.sin();
    }
    re.hypot(im)
}

#[test]
fn each_rank_has_its_own_number_of_pulses_at_its_own_pace() {
    let urgent = stretches(&heard(Rank::Urgent));
    let gaps: Vec<u32> = urgent.windows(2).map(|w| w[1].0 - w[0].1).collect();
    assert_eq!(urgent.len(), 5);
    assert!(gaps[2] > 2 * gaps[0].max(gaps[1]).max(gaps[3]), "3, then 2: {gaps:?}");
    assert!(urgent.iter().all(|(from, to)| (75..=200).contains(&(to - from))), "{urgent:?}");
    for (rank, count) in [(Rank::Warning, 3), (Rank::Notice, 1)] {
        let found = stretches(&heard(rank));
        assert_eq!(found.len(), count);
        assert!(found.iter().all(|(from, to)| (125..=250).contains(&(to - from))), "{found:?}");
    }
}

#[test]
fn each_pulse_has_four_harmonics_to_be_heard_over_a_hood() {
    for rank in RANKS {
        let samples = heard(rank);
        for pulse in pulses(rank) {
            assert!((150.0..=1000.0).contains(&pulse.hz));
            let from = samples_in(pulse.at_ms) as usize;
            let part = &samples[from..from + samples_in(pulse.ms) as usize];
            let first = strength(part, pulse.hz);
            let near = (1..=10)
                .map(|k| pulse.hz * f64::from(k))
                .filter(|hz| (300.0..=4000.0).contains(hz))
                .filter(|hz| (20.0 * (strength(part, *hz) / first).log10()).abs() <= 15.0)
                .count();
            assert!(near >= 4, "{rank:?} at {} Hz has {near}", pulse.hz);
        }
    }
}

#[test]
fn nothing_is_clipped_and_nothing_clicks() {
    for rank in RANKS {
        let samples = heard(rank);
        let peak = samples.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
        assert!((0.4..0.95).contains(&peak), "{rank:?} {peak}");
        assert!(samples[0].abs() < 0.001 && samples[samples.len() - 1].abs() < 0.001);
    }
}

/// The series above against the standard library's sine.
#[test]
fn the_sine_is_a_sine() {
    for i in -3000..3000 {
        let turns = f64::from(i) / 500.0;
        assert!((sine(turns) - (turns * std::f64::consts::TAU).sin()).abs() < 1e-6, "{turns}");
    }
}
