//! Whether the joists bear the fan: single, doubled, or only as an engineer says.

use super::WithFan;
use super::ask::RuleContext;
use super::finding::{Finding, Outcome, Say, Who, number};
use super::joist::{
    Bounds, Read, Stamp, across, along, attic_use, finish, no_place, opening_ends, sawn, section,
    stamp,
};
use super::new_wood::in_the_way;
use crate::house::Framing;
use crate::house::scene::Placed;
use crate::measure::{Force, Length};
use crate::need::Need;
use crate::survey::attic;
use crate::trade::attic_load::{AtticUse, Finish, ceiling_load};
use crate::trade::fan::Fan;
use crate::trade::fastening::{end_nails, in_each_piece};
use crate::trade::frame_strength::{
    Criterion, LoadedJoist, MemberStrength, OpeningStrength, Timber,
};
use crate::trade::lumber::Lumber;
use crate::trade::opening_frame::{Plies, header_plies};
use crate::trade::placement::{Axis, Work};
use crate::trade::section::Section;
use crate::trade::sizing::{Carrying, Level, Members, Sized, Standing};
use crate::trade::solid::Span;
use crate::trade::source::{Source, Status};

const SOURCES: &[Source] = &[
    Source::confirmed("NDS 3.3, 3.4, 3.5, 3.10: bending, shear, deflection and bearing of wood"),
    Source::confirmed(
        "NDS Supplement Table 4A: design values, No. 2; size, repetitive and duration factors",
    ),
    Source::derived("design values of the other grades: with them IRC Table R802.5.1(2) comes out"),
    Source::from_memory(
        "NDS Supplement Table 4B: Southern Pine in psi; shear and bearing of grades other than No. 2",
    ),
    Source::confirmed("IRC Table R301.5, notes b and g: attic live load with and without storage"),
    Source::confirmed(
        "IRC Table R301.7: live load L/240 under gypsum, L/360 under plaster, which the span tables do not cover; IBC Table 1604.3, footnote d: live load and half of dead load L/180 and L/240",
    ),
    Source::confirmed("ASCE 7 Table C3: plaster on wood lath 8 psf"),
    Source::derived("ceiling dead load of the span tables; 10 psf under plaster"),
    Source::from_memory("NDS 12.3.1: nails across the grain; 0.67 of it in end grain"),
];

/// *Strength of joists*: do the members that get more to carry hold?
pub(super) fn joist_strength(with: WithFan) -> Finding {
    let at = with.at;
    let mut asking = RuleContext::spot(at, "joist-strength", "Strength of joists", SOURCES);
    let sawn = sawn(&mut asking);
    if sawn == Some(false) {
        return asking
            .settled(
                Outcome::Mend,
                Say::new(
                    "The strength of trusses and engineered joists is not computed here; the fan is a load they were not designed for.",
                ),
            )
            .remedy(
                Who::Engineer,
                Say::new(
                    "A registered design professional verifies, in writing and before work begins, that the framing carries the fan's weight.",
                ),
            );
    }
    let place = match asking.place(&with) {
        Placed::Found { place, .. } => Some(place),
        Placed::Nowhere(nowhere) if sawn.is_some() => return no_place(asking, nowhere),
        Placed::Nowhere(_) | Placed::Unknown => None,
    };
    let wood = section(&mut asking);
    let along = along(&mut asking);
    let stamp = stamp(&mut asking);
    let attic_use = attic_use(&mut asking, at);
    let finish = finish(&mut asking);
    let bearing = asking.length(attic::BEARING_LENGTH);
    if sawn.is_none() {
        return asking.not_measured();
    }
    let clash = match (&wood, &along, bearing) {
        (Read::Clash(say), _, _) | (_, Read::Clash(say), _) => Some(say.clone()),
        (_, _, Some(bearing)) if bearing <= Length::ZERO => Some(Say::new(
            "the joists rest on nothing: their bearing has no length.",
        )),
        _ => None,
    };
    if let Some(clash) = clash {
        return asking.contradiction(clash);
    }
    let (Some(place), Read::Known(wood), Read::Known(along), Some(axis), Some(_)) = (
        place,
        wood,
        along,
        at.scene.axis.known,
        at.scene.joists.known.as_ref(),
    ) else {
        return asking.not_measured();
    };

    let ends = opening_ends(place, axis, along, with.fan.opening.length);
    let cuts = with.framing == Framing::Cut && !place.cut.is_empty();
    // The pieces of a header stand between the opening and the bearing: as many as the code asks for, and below as many
    // as their strength does.
    let header_span = place.trimmers.1 - place.trimmers.0 - wood.breadth();
    let shortest = ends[0].min(along.span - ends[1]);
    let least = if cuts {
        header_plies(header_span).thickness(wood.breadth())
    } else {
        Length::ZERO
    };
    let division = at.house.survey.tape.division();
    if shortest < least {
        return too_near(asking, shortest, least, division);
    }
    let none: &[Length] = &[];
    let standing = Standing {
        trimmers: place.trimmers,
        cut: if cuts { &place.cut } else { none },
        along: match axis {
            Axis::Ahead => place.ahead,
            Axis::Left => place.left,
        },
        across: across(place, axis),
    };
    let wood = Wood {
        section: wood,
        stamp,
        attic_use,
        finish,
        bearing,
    };
    let bearings = Span::new(-along.mark, along.span - along.mark);
    let carrying = |(timber, real): (Timber, Timber)| Carrying {
        bearings,
        joists: at.scene.sound_joists(),
        extra: at.scene.hung_on_joists(&timber, bearings),
        timber,
        real,
    };
    let size = |wood| carrying(wood).size(with.fan, &standing);
    let (worst, real) = wood.worst();
    let no_fit = || Say::new("the joists, the opening and the span do not fit together.");
    let Ok(mut shown) = size((worst, real)) else {
        return asking.contradiction(no_fit());
    };
    let mut timber = worst;
    let lacks = asking.lacks();
    if lacks {
        // Between its worst and its best the missing answers decide; where both come out alike, none does.
        let (best, real) = wood.best();
        let Ok(hoped) = size((best, real)) else {
            return asking.contradiction(no_fit());
        };
        let hoped_outcome = outcome(hoped.level);
        if hoped_outcome == Outcome::Fails {
            (shown, timber) = (hoped, best);
        } else if bearing.is_none() || hoped_outcome != outcome(shown.level) {
            return asking.not_measured();
        }
    }
    note(&mut asking, with.fan, &shown, &timber, stamp);
    if shown.level == Level::NoRoom {
        let breadth = timber.section.breadth();
        return too_near(
            asking,
            shortest,
            shown.plies().0.thickness(breadth),
            division,
        );
    }
    let status = timber.lumber.status;
    if shown.level == Level::Doubled {
        let carrying = carrying((timber, timber));
        let work = Work {
            carrying: Some(&carrying),
            ..Work::default()
        };
        let moves =
            at.scene
                .further_moves(with.fan, with.framing, place, &work, Some(shown.plies()));
        if !moves.is_empty() {
            return in_the_way(
                asking,
                with,
                &moves,
                "The doubled pieces that it takes would run into what is there, or too near to it: {things}.",
            );
        }
    }
    let finding = conclude(
        asking,
        &shown,
        lacks,
        stamp,
        standing.cut.len(),
        header_span,
    );
    if status == Status::Confirmed {
        return finding;
    }
    finding.caution(
        Say::new(
            "The design values of this wood were not read in print ({status}): check them against the printed NDS Supplement before work is promised on them.",
        )
        .with("status", status.label()),
    )
}

/// The opening lies too near a bearing for its headers.
fn too_near(asking: RuleContext, left: Length, need: Length, division: Length) -> Finding {
    asking
        .settled(
            Outcome::Fails,
            Say::new(
                "The opening would reach within {left} of the joists' bearing; it must stay {need} away.",
            )
            .with("left", left)
            .with("need", need),
        )
        .lengths(need, left, 2, division)
}

/// What the joists are made of and carry, as far as it is known.
struct Wood {
    section: Section,
    stamp: Stamp,
    attic_use: Bounds<AtticUse>,
    finish: Bounds<Finish>,
    bearing: Option<Length>,
}

/// More bearing than any joist needs: for bounds while it is not measured.
const AMPLE_BEARING: Length = Length::inches(24);

impl Wood {
    fn timber(&self, lumber: Lumber, attic_use: AtticUse, finish: Finish) -> Timber {
        Timber {
            section: self.section,
            lumber,
            bearing: self.bearing.unwrap_or(AMPLE_BEARING),
            load: ceiling_load(attic_use, finish),
            finish,
        }
    }
    /// The wood to judge by where missing answers turn out at their worst, and the best that it may really be behind a
    /// stamp that cannot be read.
    fn worst(&self) -> (Timber, Timber) {
        let depth = self.section.nominal_depth();
        let weakest = self.stamp.weakest(depth);
        let real = if self.stamp.complete() {
            self.stamp.strongest(depth)
        } else {
            weakest
        };
        let of = |lumber| self.timber(lumber, self.attic_use.worst, self.finish.worst);
        (of(weakest), of(real))
    }

    /// The same where missing answers turn out at their best.
    fn best(&self) -> (Timber, Timber) {
        let depth = self.section.nominal_depth();
        let of = |lumber| self.timber(lumber, self.attic_use.best, self.finish.best);
        (
            of(self.stamp.hopeful(depth)),
            of(self.stamp.strongest(depth)),
        )
    }
}

const fn outcome(level: Level) -> Outcome {
    match level {
        Level::Single => Outcome::Holds,
        Level::Doubled | Level::Stamp => Outcome::Mend,
        Level::Engineer | Level::NoRoom => Outcome::Fails,
    }
}

fn most_used(joists: &[LoadedJoist]) -> Option<&LoadedJoist> {
    joists
        .iter()
        .max_by(|a, b| a.strength.use_ratio().total_cmp(&b.strength.use_ratio()))
}

/// The names of one member's figures.
struct Names {
    who: &'static str,
    figures: [&'static str; 20],
}

macro_rules! names {
    ($who:literal) => {
        Names {
            who: $who,
            figures: [
                concat!($who, ": span"),
                concat!($who, ": reaction, first end"),
                concat!($who, ": reaction, second end"),
                concat!($who, ": largest moment"),
                concat!($who, ": largest shear"),
                concat!($who, ": bending stress"),
                concat!($who, ": bending stress allowed"),
                concat!($who, ": use in bending"),
                concat!($who, ": shear stress"),
                concat!($who, ": shear stress allowed"),
                concat!($who, ": use in shear"),
                concat!($who, ": bearing stress"),
                concat!($who, ": bearing stress allowed"),
                concat!($who, ": use in bearing"),
                concat!($who, ": deflection, live and creep"),
                concat!($who, ": use in deflection, live and creep"),
                concat!($who, ": deflection, live"),
                concat!($who, ": use in deflection, live"),
                concat!($who, ": deflection allowed, live and creep"),
                concat!($who, ": deflection allowed, live"),
            ],
        }
    };
}

const NEAR_HEADER: Names = names!("near header");
const FAR_HEADER: Names = names!("far header");
const FIRST_TRIMMER: Names = names!("first trimmer");
const SECOND_TRIMMER: Names = names!("second trimmer");
const JOIST: Names = names!("most used joist");

fn note_member(asking: &mut RuleContext, names: &Names, member: &MemberStrength) {
    let name = &names.figures;
    asking.figure(name[0], member.span);
    asking.figure(name[1], member.reactions[0]);
    asking.figure(name[2], member.reactions[1]);
    asking.figure(name[3], member.moment.value);
    asking.figure(name[4], member.shear_force);
    asking.figure(name[5], member.bending.demand);
    asking.figure(name[6], member.bending.capacity);
    asking.ratio(name[7], member.bending.use_ratio());
    asking.figure(name[8], member.shear.demand);
    asking.figure(name[9], member.shear.capacity);
    asking.ratio(name[10], member.shear.use_ratio());
    if let Some(bearing) = member.bearing {
        asking.figure(name[11], bearing.demand);
        asking.figure(name[12], bearing.capacity);
        asking.ratio(name[13], bearing.use_ratio());
    }
    asking.figure(name[14], member.total_deflection.demand);
    asking.figure(name[18], member.total_deflection.capacity);
    asking.ratio(name[15], member.total_deflection.use_ratio());
    asking.figure(name[16], member.live_deflection.demand);
    asking.figure(name[19], member.live_deflection.capacity);
    asking.ratio(name[17], member.live_deflection.use_ratio());
}

fn members(sized: &Sized) -> Vec<(&'static Names, &MemberStrength)> {
    match &sized.members {
        Members::Opening { strength, .. } => vec![
            (&NEAR_HEADER, &strength.headers[0]),
            (&FAR_HEADER, &strength.headers[1]),
            (&FIRST_TRIMMER, &strength.trimmers[0]),
            (&SECOND_TRIMMER, &strength.trimmers[1]),
        ],
        Members::Whole { joists, .. } => most_used(joists)
            .map(|joist| (&JOIST, &joist.strength))
            .into_iter()
            .collect(),
    }
}

fn note(asking: &mut RuleContext, fan: &Fan, sized: &Sized, timber: &Timber, stamp: Stamp) {
    asking.figure("ceiling dead load", timber.load.dead);
    asking.figure("attic live load", timber.load.live);
    asking.figure("joist thickness", timber.section.breadth());
    asking.figure("joist depth", timber.section.depth());
    asking.figure(
        "bending design value with size factor",
        timber.lumber.bending,
    );
    asking.figure("shear design value", timber.lumber.shear);
    asking.figure("bearing design value", timber.lumber.bearing);
    asking.figure("modulus of elasticity", timber.lumber.elasticity);
    asking.figure("fan weight", fan.weight);
    match &sized.members {
        Members::Opening { headers, strength } => {
            asking.figure("near header from the bearing", headers[0]);
            asking.figure("far header from the bearing", headers[1]);
            asking.figure("pieces in each header", strength.header_plies.count());
            asking.figure("pieces in each trimmer", strength.trimmer_plies.count());
            asking.figure(
                "16d common nails at each header end",
                end_nails(heaviest_end(strength), stamp.least_gravity()),
            );
        }
        Members::Whole { plies, joists } => {
            asking.figure("joists that carry the fan", joists.len());
            asking.figure("pieces in each joist", plies.count());
            if let Some(joist) = most_used(joists) {
                asking.figure("fan weight on the most used joist", joist.share);
                asking.figure("most used joist from the mark", joist.at);
            }
        }
    }
    for (names, member) in members(sized) {
        note_member(asking, names, member);
    }
}

/// What the most loaded header end carries.
fn heaviest_end(strength: &OpeningStrength) -> Force {
    let ends = strength.headers.iter().flat_map(|it| it.reactions);
    ends.fold(Force::ZERO, Force::max)
}

/// The most used member, the check that governs it, and its use ratio.
fn governs(sized: &Sized) -> (&'static str, Criterion, f64) {
    members(sized)
        .into_iter()
        .map(|(names, member)| {
            let (criterion, ratio) = member.governs();
            (names.who, criterion, ratio)
        })
        .fold(("joist", Criterion::Bending, 0.0), |most, one| {
            if one.2 > most.2 { one } else { most }
        })
}

fn conclude(
    asking: RuleContext,
    sized: &Sized,
    lacks: bool,
    stamp: Stamp,
    cut: usize,
    header_span: Length,
) -> Finding {
    let (who, criterion, ratio) = governs(sized);
    let cuts = matches!(sized.members, Members::Opening { .. });
    let used = ratio * 100.0;
    let text = match (sized.level, cuts) {
        (Level::Single, true) => {
            "Single headers and trimmers hold; the {who} is used to {used} in {what}."
        }
        (Level::Single, false) => {
            "The joists hold with the fan on them; the {who} is used to {used} in {what}."
        }
        (Level::Doubled, true) => {
            "With {headers} headers and {trimmers} trimmers the frame holds; the {who} is used to {used} in {what}."
        }
        (Level::Doubled, false) => {
            "Doubled, the joists hold with the fan on them; the {who} is used to {used} in {what}."
        }
        (Level::Stamp | Level::Engineer | Level::NoRoom, _) => {
            "Even doubled, the {who} would be used to {used} in {what}."
        }
    };
    let mut say = Say::new(text)
        .with("who", who)
        .with("used", number(used, "%", 0))
        .with("what", criterion.label());
    if let Members::Opening { strength, .. } = &sized.members {
        say = say
            .with("headers", strength.header_plies.label())
            .with("trimmers", strength.trimmer_plies.label());
    }
    let mut finding = asking.settled(outcome(sized.level), say).amounts(
        number(100.0, "%", 0),
        number(used, "%", 0),
        number(100.0 - used, "%", 0),
    );
    match sized.level {
        Level::Single => {}
        Level::Doubled => match &sized.members {
            Members::Opening { strength, .. } => {
                if strength.trimmer_plies == Plies::Double {
                    finding =
                        finding.needs(Who::Carpenter, Need::Trimmers(strength.trimmers[0].span));
                }
                if strength.header_plies == Plies::Double {
                    finding = finding.needs(
                        Who::Carpenter,
                        Need::Headers {
                            joists: u32::try_from(cut).unwrap_or(u32::MAX),
                            plies: Plies::Double,
                            length: header_span,
                        },
                    );
                }
            }
            Members::Whole { joists, .. } => {
                finding = finding.remedy(
                    Who::Carpenter,
                    Say::new(
                        "Double every joist under the fan ({count}) with one of the same size and grade, from bearing to bearing ({span}).",
                    )
                    .with("count", joists.len())
                    .with("span", joists.first().map_or(Length::ZERO, |it| it.strength.span)),
                );
            }
        },
        Level::Stamp => {
            finding = finding.remedy(
                Who::Engineer,
                Say::new(
                    "A qualified grader or a registered design professional establishes species and grade, or designs the frame, before the work is promised.",
                ),
            );
        }
        Level::Engineer | Level::NoRoom => {
            finding = finding.remedy(
                Who::Engineer,
                Say::new(
                    "Only a registered design professional can say whether stronger members would do; nothing is cut or hung before.",
                ),
            );
        }
    }
    if let Members::Opening { strength, .. } = &sized.members {
        let most = heaviest_end(strength);
        finding = finding.caution(
            Say::new(
                "Each header end carries up to {load}: {count} 12d common nails through the trimmer into each piece of it, before a second piece is added to the trimmer, or a hanger whose label carries that.",
            )
            .with("load", number(most.lb(), "lb", 0))
            .with(
                "count",
                in_each_piece(
                    end_nails(most, stamp.least_gravity()),
                    u32::from(strength.header_plies.count()),
                ),
            ),
        );
    }
    if stamp.unreadable() {
        finding = finding.caution(Say::new(
            "No full grade stamp could be read: the wood is judged as the weakest that it may be.",
        ));
    }
    if lacks {
        finding = finding.caution(Say::new(
            "Some answers are still missing; whatever they turn out to be, this stands.",
        ));
    }
    finding.caution(Say::new(
        "These checks take sound, dry wood and loads as the code gives them. The local code and a registered design professional decide; snow or storage beyond that is theirs to judge.",
    ))
}
