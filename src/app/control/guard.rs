//! Keeps slips from becoming answers: what has just come up takes nothing for a moment, and the second tap of one
//! finger does nothing.
//!
//! The guard knows no field's meaning and no window, and decides by the clock alone. It never holds anybody back
//! from leaving: putting a sheet away and going back are not asked of it.

use crate::survey::FieldRef;
use std::time::Duration;

/// How long a sheet, a question or a page that has just come up takes nothing. (No source: a little over the time in
/// which somebody who is surprised by a picture can hold back a movement that is begun.)
pub const OPENING: Duration = Duration::from_millis(600);

/// Two taps on one key within this are one tap of a stiff glove. (No source: the usual bound for a double click is
/// 500 ms.)
pub const REPEAT: Duration = Duration::from_millis(400);

/// What was when, by a clock that only moves forward.
#[derive(Debug, Clone)]
pub struct Guard {
    elapsed: fn() -> Duration,
    came_up: Option<Duration>,
    went_away: Option<Duration>,
    held_back: Option<Duration>,
    early: Option<Duration>,
    key: Option<(&'static str, Duration)>,
    answer: Option<(FieldRef, Option<usize>, Duration)>,
}

impl Guard {
    /// A guard by this clock; what is up now is taken as looked at.
    pub fn new(elapsed: fn() -> Duration) -> Guard {
        Guard {
            elapsed,
            came_up: None,
            went_away: None,
            held_back: None,
            early: None,
            key: None,
            answer: None,
        }
    }

    fn within(&self, since: Option<Duration>, time: Duration) -> bool {
        since.is_some_and(|since| (self.elapsed)().saturating_sub(since) < time)
    }

    /// A sheet, another question or another page came up.
    pub fn came_up(&mut self) {
        self.came_up = Some((self.elapsed)());
    }

    /// The sheet went away; the page under it is where the finger is now.
    pub fn went_away(&mut self) {
        self.came_up();
        self.went_away = self.came_up;
    }

    /// What came up was asked for by the very key that it takes: a figure typed into a row opens the keys and is
    /// their first.
    pub fn was_meant(&mut self) {
        self.came_up = None;
        self.held_back = None;
    }

    /// How long what is up goes on taking nothing; none once it takes something.
    pub fn opening(&self) -> Option<Duration> {
        let passed = (self.elapsed)().saturating_sub(self.came_up?);
        OPENING.checked_sub(passed).filter(|left| !left.is_zero())
    }

    /// Whether a tap on what is up counts.
    pub fn takes(&self) -> bool {
        self.opening().is_none()
    }

    /// Whether a typed key counts. Whatever is typed on without a pause after a key that did not, does not
    /// either: half a figure would be worse than none.
    pub fn takes_typed(&mut self) -> bool {
        if self.takes() && !self.within(self.held_back, OPENING) {
            self.held_back = None;
            return true;
        }
        self.held_back = Some((self.elapsed)());
        false
    }

    /// Whether a press of a key beside the sheets counts: not again within the time of a double tap.
    pub fn takes_press(&mut self, key: &'static str) -> bool {
        let again = self.key.filter(|(before, _)| *before == key);
        if self.within(again.map(|(_, at)| at), REPEAT) {
            return false;
        }
        self.key = Some((key, (self.elapsed)()));
        true
    }

    /// The same for a key of a sheet, which takes nothing while it opens.
    pub fn takes_key(&mut self, key: &'static str) -> bool {
        self.takes_typed() && self.takes_press(key)
    }

    /// Whether a tap on the page counts: not while it may be the second one of the finger that put the sheet away.
    pub fn takes_on_page(&mut self) -> bool {
        let takes = !self.within(self.went_away, REPEAT);
        if !takes {
            self.early = Some((self.elapsed)());
        }
        takes
    }

    /// Whether an answer that is tapped in its row counts; none takes it back. A second tap on the same one does not,
    /// which would take back what the first one gave. One about life counts only where the row has been in sight,
    /// unchanged, for a moment.
    pub fn takes_answer(&mut self, at: FieldRef, option: Option<usize>, of_life: bool) -> bool {
        // Two taps, of which the first came too early, are too early.
        if of_life && (!self.takes() || self.within(self.early, REPEAT)) {
            self.early = Some((self.elapsed)());
            return false;
        }
        // Another answer beside it is meant; the same one, or one where it was taken back, is the same key again.
        let same = |given: Option<usize>| option.is_none() || given.is_none() || option == given;
        let again = self
            .answer
            .filter(|(before, given, _)| *before == at && same(*given));
        if self.within(again.map(|(.., when)| when), REPEAT) {
            return false;
        }
        self.answer = Some((at, option, (self.elapsed)()));
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    thread_local! {
        static TIME: Cell<Duration> = const { Cell::new(Duration::ZERO) };
    }

    fn pass(milliseconds: u64) {
        TIME.set(TIME.get() + Duration::from_millis(milliseconds));
    }

    fn guard() -> Guard {
        Guard::new(|| TIME.get())
    }

    #[test]
    fn what_came_up_takes_nothing_for_six_tenths_of_a_second() {
        let mut it = guard();
        assert!(it.takes());
        it.came_up();
        assert_eq!(it.opening(), Some(OPENING));
        pass(599);
        assert!(!it.takes());
        pass(1);
        assert!(it.takes() && it.takes_typed());
        // A page under a sheet that went away is as new.
        it.went_away();
        assert!(!it.takes_on_page() && !it.takes());
        pass(400);
        assert!(it.takes_on_page() && !it.takes());
    }

    #[test]
    fn half_a_figure_is_never_taken() {
        let mut it = guard();
        it.came_up();
        // The first key comes too early, the others are typed on without a pause.
        pass(400);
        for _ in 0..4 {
            assert!(!it.takes_typed());
            pass(300);
        }
        assert!(!it.takes_key("done"), "nor what ends them");
        pass(600);
        assert!(it.takes_typed());
    }

    #[test]
    fn the_second_tap_of_one_finger_does_nothing() {
        let mut it = guard();
        assert!(it.takes_key("done"));
        pass(399);
        assert!(!it.takes_key("done"));
        // Not a third one either; but another key is another.
        assert!(it.takes_key("clear"));
        pass(400);
        assert!(it.takes_key("done"));
        let mould = FieldRef::house("arrival.mould");
        assert!(it.takes_answer(mould, Some(0), true));
        pass(100);
        assert!(!it.takes_answer(mould, None, true), "the same key again");
        assert!(it.takes_answer(mould, Some(1), true), "another answer");
        let animals = FieldRef::house("arrival.animals");
        assert!(it.takes_answer(animals, Some(0), true));
        it.came_up();
        let year = FieldRef::house("arrival.year_built");
        assert!(it.takes_answer(year, None, false));
        assert!(!it.takes_answer(mould, Some(0), true));
    }
}
