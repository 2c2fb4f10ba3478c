//! How sure a fan's sheet is, said among the sources of a rule that leans on it.

use crate::trade::fan::Fan;
use crate::trade::source::{Source, Status};

/// The sources of a rule that leans on the fan's sheet, once for each way in which the sheet may be sure.
#[derive(Debug)]
pub(super) struct SheetSources<const N: usize>([[Source; N]; 6]);

impl<const N: usize> SheetSources<N> {
    const STATUSES: [Status; 6] = [
        Status::Confirmed,
        Status::FromMemory,
        Status::Derived,
        Status::CommonPractice,
        Status::Invented,
        Status::Given,
    ];

    /// Of these sources those that are *given* are the fan's sheet: they take on its own status.
    pub const fn new(sources: [Source; N]) -> Self {
        let mut all = [sources; 6];
        let mut which = 0;
        while which < all.len() {
            let mut at = 0;
            while at < N {
                if matches!(all[which][at].status, Status::Given) {
                    all[which][at].status = Self::STATUSES[which];
                }
                at += 1;
            }
            which += 1;
        }
        SheetSources(all)
    }

    /// The sources with the status of this fan's sheet.
    pub fn of(&self, fan: &Fan) -> &[Source] {
        let status = fan.sheet_status();
        let which = Self::STATUSES.iter().position(|it| *it == status);
        &self.0[which.unwrap_or(0)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::fan::generic;

    #[test]
    fn the_sheet_takes_on_its_own_status_and_nothing_else_does() {
        static SOURCES: SheetSources<2> =
            SheetSources::new([Source::given("sheet"), Source::confirmed("code")]);
        let mut fan = generic().fans[0].clone();
        for status in SheetSources::<2>::STATUSES {
            (fan.sizes_status, fan.rest_status) = (Status::Given, status);
            let found: Vec<Status> = SOURCES.of(&fan).iter().map(|it| it.status).collect();
            assert_eq!(found, [status, Status::Confirmed]);
        }
    }
}
