//! Whether joists bear a fan: left whole with the fan's weight on them, or cut, headed and trimmed.
//!
//! # Units
//! Places and sizes as [`Length`], loads as [`AreaLoad`] and [`Force`], stresses as
//! [`Stress`]; a use ratio is demand over capacity, so that 1 is just enough.
//!
//! # Source
//! NDS 3.3 (bending fb = M/S), 3.4 (shear fv = 1.5·V/A), 3.10 (bearing fc⊥ = R/(b·lb)), 3.5 (deflection), confirmed;
//! loads and deflection limits from [`attic_load`](super::attic_load). How the load flows is derived:
//! * A tail joist stands on its bearing and on the header and gives each half of its load.
//! * A header stands on the two trimmers and carries the tail joists and, evenly along it, half of the fan.
//! * A trimmer stands on the joists' bearings and carries its own strip of ceiling, uncut along its whole length, and
//!   the two headers. It gets no repetitive factor, nor does the header.
//! * Over whole joists the fan's frame is stiff; each joist gives way alike. The share of a joist is 1/n plus its part
//!   in evening out an off-centre load; it comes down half at the frame's front, half at its back. Joists count as
//!   repetitive where the next ones on both sides are at most 24 in away.
//! * Dead load is also judged alone with CD 0.9; dead and live together with CD 1.0.
//! * Against the limit for dead and live load together counts live load and half of dead load, the creep of dry sawn
//!   lumber (IBC Table 1604.3, footnote d, confirmed); against the limit for live load, live load alone.
//!
//! # Examples
//! A worked opening (derived; PyNiteFEA 3.2.0 agrees to eight digits, tests/outside/joists.rs): Spruce-Pine-Fir No. 2, 2 × 6 at 16 in over 14 ft,
//! 10 psf live and 5 psf dead, one joist cut, headers at 60 in and 91 1/2 in, a fan of 60 lb.
//! ```
//! use joistlight::measure::{Force, Length};
//! use joistlight::trade::attic_load::{AtticUse, Finish, ceiling_load};
//! use joistlight::trade::frame_strength::{Opening, Timber, opening_strength};
//! use joistlight::trade::lumber::{Grade, Lumber, Species};
//! use joistlight::trade::opening_frame::Plies;
//! use joistlight::trade::section::{Nominal, Section};
//! let section = Section::dressed(Nominal::TwoBySix);
//! let timber = Timber {
//!     section,
//!     lumber: Lumber::of(Species::SprucePineFir, Grade::No2, section.nominal_depth()),
//!     bearing: Length::sixteenths(24),
//!     load: ceiling_load(AtticUse::NoStorage, Finish::Flexible),
//!     finish: Finish::Flexible,
//! };
//! let opening = Opening {
//!     span: Length::inches(168),
//!     headers: [Length::inches(60), Length::sixteenths(1464)],
//!     trimmers: [Length::inches(-16), Length::inches(16)],
//!     beyond: [Length::inches(-32), Length::inches(32)],
//!     cut: &[Length::ZERO],
//!     fan: Force::from_lb(60.0),
//!     extra: &[],
//! };
//! let single = opening_strength(&opening, &timber, Plies::Single, Plies::Single)?;
//! let trimmer = &single.trimmers[0];
//! assert!((trimmer.reactions[0].lb() - 187.059).abs() < 5e-4);
//! assert!((trimmer.reactions[1].lb() - 179.816).abs() < 5e-4);
//! assert!((trimmer.moment.value.lb_in() - 8887.92).abs() < 5e-3);
//! assert!((trimmer.bending.demand.psi() - 1175.3).abs() < 0.05);
//! assert!(trimmer.bending.use_ratio() > 1.0);
//! let double = opening_strength(&opening, &timber, Plies::Single, Plies::Double)?;
//! assert!((double.trimmers[0].bending.demand.psi() - 587.6).abs() < 0.05);
//! assert!(double.trimmers[0].use_ratio() <= 1.0);
//! # Ok::<(), joistlight::trade::beam::BeamError>(())
//! ```

use super::attic_load::{CeilingLoad, Finish};
use super::beam::{Beam, BeamError, Load, Most, Sag};
use super::lumber::{Adjust, Duration, Lumber};
use super::opening_frame::{BEARING_ON_WOOD, OpeningFrame, Plies, opening_frame};
use super::section::Section;
use super::span::in_span_table;
use crate::measure::{AreaLoad, Force, Length, Moment, Stress};

/// The joists: what they are made of, how they bear, what they carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Timber {
    /// One joist's section.
    pub section: Section,
    /// Its design values.
    pub lumber: Lumber,
    /// How much of each end rests on its bearing.
    pub bearing: Length,
    /// What the ceiling carries.
    pub load: CeilingLoad,
    /// What the ceiling's underside is, for the deflection limits.
    pub finish: Finish,
}

/// One check: what is asked of a member, and what it can do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Check<T> {
    /// What is asked.
    pub demand: T,
    /// What it can do.
    pub capacity: T,
}

impl Check<Stress> {
    /// Demand over capacity.
    pub fn use_ratio(&self) -> f64 {
        self.demand / self.capacity
    }
}

impl Check<Length> {
    /// Demand over capacity.
    pub fn use_ratio(&self) -> f64 {
        self.demand / self.capacity
    }
}

/// The checks by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Criterion {
    /// Bending stress.
    Bending,
    /// Shear stress.
    Shear,
    /// Stress across the grain at the bearing.
    Bearing,
    /// Deflection under live load and the creep of dead load.
    TotalDeflection,
    /// Deflection under live load.
    LiveDeflection,
}

impl Criterion {
    /// The trade's word.
    pub const fn label(self) -> &'static str {
        match self {
            Criterion::Bending => "bending",
            Criterion::Shear => "shear",
            Criterion::Bearing => "bearing",
            Criterion::TotalDeflection => "deflection under live load and creep",
            Criterion::LiveDeflection => "deflection under live load",
        }
    }
}

/// A member, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberStrength {
    /// Its span.
    pub span: Length,
    /// What its left and right support carry under dead and live load.
    pub reactions: [Force; 2],
    /// The same under live load alone.
    pub live_reactions: [Force; 2],
    /// The largest moment under dead and live load, and where.
    pub moment: Most<Moment>,
    /// The largest shear under dead and live load.
    pub shear_force: Force,
    /// Where it sags most under live load and the creep of dead load.
    pub sag_at: Length,
    /// Bending.
    pub bending: Check<Stress>,
    /// Shear.
    pub shear: Check<Stress>,
    /// Bearing across the grain; none for a header, which hangs between its trimmers.
    pub bearing: Option<Check<Stress>>,
    /// Deflection under live load and the creep of dead load ([`CREEP`] of it).
    pub total_deflection: Check<Length>,
    /// Deflection under live load.
    pub live_deflection: Check<Length>,
}

impl MemberStrength {
    /// Every check with its use ratio.
    pub fn checks(&self) -> impl Iterator<Item = (Criterion, f64)> {
        [
            Some((Criterion::Bending, self.bending.use_ratio())),
            Some((Criterion::Shear, self.shear.use_ratio())),
            self.bearing
                .map(|check| (Criterion::Bearing, check.use_ratio())),
            Some((
                Criterion::TotalDeflection,
                self.total_deflection.use_ratio(),
            )),
            Some((Criterion::LiveDeflection, self.live_deflection.use_ratio())),
        ]
        .into_iter()
        .flatten()
    }

    /// The check that governs, and its use ratio.
    pub fn governs(&self) -> (Criterion, f64) {
        self.checks()
            .fold((Criterion::Bending, f64::NEG_INFINITY), |most, check| {
                if check.1 > most.1 { check } else { most }
            })
    }

    /// The largest use ratio; the member holds where it is at most 1.
    pub fn use_ratio(&self) -> f64 {
        self.governs().1
    }
}

/// The part of dead load whose deflection counts against the limit for dead and live load together: dry sawn lumber
/// creeps by half of it (IBC Table 1604.3, footnote d; NDS 3.5.2 with K_cr = 1.5).
pub const CREEP: f64 = 0.5;

/// What loads do to a member, whatever it is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effects {
    span: Length,
    reactions: [Force; 2],
    live_reactions: [Force; 2],
    moment: Most<Moment>,
    dead_moment: Moment,
    shear: Force,
    dead_shear: Force,
    sag: Most<Sag>,
    live_sag: Sag,
}

/// What dead and live loads do to a member over `span`.
///
/// # Errors
/// Where there is no span, or a load lies outside it.
pub fn effects(span: Length, dead: &[Load], live: &[Load]) -> Result<Effects, BeamError> {
    let mut both = Vec::with_capacity(dead.len() + live.len());
    both.extend_from_slice(dead);
    both.extend_from_slice(live);
    let total = Beam::new(span, &both)?;
    for load in &mut both[..dead.len()] {
        *load = load.scaled(CREEP);
    }
    let lasting = Beam::new(span, &both)?;
    let dead = Beam::new(span, dead)?;
    let live = Beam::new(span, live)?;
    Ok(Effects {
        span,
        reactions: [total.left_reaction(), total.right_reaction()],
        live_reactions: [live.left_reaction(), live.right_reaction()],
        moment: total.most_moment(),
        dead_moment: dead.most_moment().value,
        shear: total.most_shear().value,
        dead_shear: dead.most_shear().value,
        sag: lasting.most_sag(),
        live_sag: live.most_sag().value,
    })
}

impl Effects {
    /// Judges a member of this timber. `bearing` is none for a member that hangs.
    pub fn on(
        &self,
        timber: &Timber,
        plies: Plies,
        repetitive: bool,
        bearing: Option<Length>,
    ) -> MemberStrength {
        let section = timber.section.plies(plies.count());
        let adjust = Adjust {
            repetitive,
            ..Adjust::default()
        };
        let allowed = timber.lumber.allowable(adjust);
        let allowed_dead = timber.lumber.allowable(Adjust {
            duration: Duration::Permanent,
            ..adjust
        });
        let stiffness = section.stiffness(allowed.elasticity);
        let bent = |moment: Moment| (moment / section.modulus()).abs();
        let sheared =
            |force: Force| Stress::from_psi(1.5 * force.lb().abs() / section.area().in2());
        let worse = |a: Check<Stress>, b: Check<Stress>| {
            if b.use_ratio() > a.use_ratio() { b } else { a }
        };
        MemberStrength {
            span: self.span,
            reactions: self.reactions,
            live_reactions: self.live_reactions,
            moment: self.moment,
            shear_force: self.shear,
            sag_at: self.sag.at,
            bending: worse(
                Check {
                    demand: bent(self.moment.value),
                    capacity: allowed.bending,
                },
                Check {
                    demand: bent(self.dead_moment),
                    capacity: allowed_dead.bending,
                },
            ),
            shear: worse(
                Check {
                    demand: sheared(self.shear),
                    capacity: allowed.shear,
                },
                Check {
                    demand: sheared(self.dead_shear),
                    capacity: allowed_dead.shear,
                },
            ),
            bearing: bearing.map(|length| Check {
                demand: Stress::from_psi(
                    self.reactions[0].max(self.reactions[1]).lb()
                        / (section.breadth().to_in() * length.to_in()),
                ),
                capacity: allowed.bearing,
            }),
            total_deflection: Check {
                demand: self.sag.value.deflection(stiffness).abs(),
                capacity: self.span.scale(1.0 / timber.finish.total_limit()),
            },
            live_deflection: Check {
                demand: self.live_sag.deflection(stiffness).abs(),
                capacity: self.span.scale(1.0 / timber.finish.live_limit()),
            },
        }
    }
}

/// Judges one member over `span` under dead and live loads. `bearing` is none for a member that hangs.
///
/// # Errors
/// Where there is no span, or a load lies outside it.
pub fn member_strength(
    timber: &Timber,
    plies: Plies,
    repetitive: bool,
    span: Length,
    dead: &[Load],
    live: &[Load],
    bearing: Option<Length>,
) -> Result<MemberStrength, BeamError> {
    Ok(effects(span, dead, live)?.on(timber, plies, repetitive, bearing))
}

/// An opening for a fan, with joists cut. Places along the joists are from their left bearing; places across them
/// from anywhere, all of the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening<'a> {
    /// The joists' span, bearing to bearing.
    pub span: Length,
    /// The middles of the two headers along the joists, the nearer to the left bearing first.
    pub headers: [Length; 2],
    /// The middles of the two trimmers across the joists, in order.
    pub trimmers: [Length; 2],
    /// The middles of the joists beyond them, in the same order.
    pub beyond: [Length; 2],
    /// The middles of the joists cut, in order.
    pub cut: &'a [Length],
    /// The fan's weight.
    pub fan: Force,
    /// What else hangs on joists.
    pub extra: &'a [Extra],
}

/// What hangs on a joist besides the ceiling and the fan, such as the header of a hatch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extra {
    /// The joist's middle, across the joists.
    pub joist: Length,
    /// Where it hangs, from the left bearing.
    pub at: Length,
    /// Its dead load.
    pub dead: Force,
    /// Its live load.
    pub live: Force,
}

impl Extra {
    /// The dead and the live loads that hang on this joist.
    fn on(extra: &[Extra], joist: Length) -> (Vec<Load>, Vec<Load>) {
        let on = || extra.iter().filter(move |it| it.joist == joist);
        (
            on().map(|it| Load::at(it.at, it.dead)).collect(),
            on().map(|it| Load::at(it.at, it.live)).collect(),
        )
    }
}

impl Opening<'_> {
    /// The clear span of the headers between the trimmers.
    pub fn header_span(&self, section: Section) -> Length {
        self.trimmers[1] - self.trimmers[0] - section.breadth()
    }
}

/// An opening's frame, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningStrength {
    /// How many plies the headers have.
    pub header_plies: Plies,
    /// How many plies the trimmers have.
    pub trimmer_plies: Plies,
    /// The two headers, left bearing first.
    pub headers: [MemberStrength; 2],
    /// The two trimmers, in order across.
    pub trimmers: [MemberStrength; 2],
}

impl OpeningStrength {
    /// The larger use ratio of the headers.
    pub fn headers_use(&self) -> f64 {
        self.headers[0].use_ratio().max(self.headers[1].use_ratio())
    }

    /// The larger use ratio of the trimmers.
    pub fn trimmers_use(&self) -> f64 {
        self.trimmers[0]
            .use_ratio()
            .max(self.trimmers[1].use_ratio())
    }

    /// The largest use ratio of all.
    pub fn use_ratio(&self) -> f64 {
        self.headers_use().max(self.trimmers_use())
    }
}

/// What an opening's loads do to its members, whatever their wood and plies.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningEffects {
    headers: [Effects; 2],
    trimmers: [Effects; 2],
}

/// Judges the frame of an opening with so many plies.
///
/// # Errors
/// Where a header lies outside the span, or the trimmers do not lie apart.
pub fn opening_strength(
    opening: &Opening,
    timber: &Timber,
    header_plies: Plies,
    trimmer_plies: Plies,
) -> Result<OpeningStrength, BeamError> {
    Ok(opening_effects(opening, timber)?.on(timber, header_plies, trimmer_plies))
}

/// What the ceiling and the fan do to the members round an opening; of `timber` its section and loads count.
///
/// # Errors
/// Where a header lies outside the span, or the trimmers do not lie apart.
pub fn opening_effects(opening: &Opening, timber: &Timber) -> Result<OpeningEffects, BeamError> {
    let headers = headers_of(opening, timber)?;
    let trimmers = trimmers_of(opening, timber, &headers)?;
    Ok(OpeningEffects { headers, trimmers })
}

impl OpeningEffects {
    /// Judges members of this timber with so many plies.
    pub fn on(
        &self,
        timber: &Timber,
        header_plies: Plies,
        trimmer_plies: Plies,
    ) -> OpeningStrength {
        let bearing = Some(timber.bearing);
        OpeningStrength {
            header_plies,
            trimmer_plies,
            headers: self
                .headers
                .map(|member| member.on(timber, header_plies, false, None)),
            trimmers: self
                .trimmers
                .map(|member| member.on(timber, trimmer_plies, false, bearing)),
        }
    }
}

fn headers_of(opening: &Opening, timber: &Timber) -> Result<[Effects; 2], BeamError> {
    let header_span = opening.header_span(timber.section);
    if header_span <= Length::ZERO {
        return Err(BeamError::NoSpan { span: header_span });
    }
    // Half of the fan lies evenly along each header.
    let half_fan = opening.fan / 2.0 / header_span;
    let inner_face = opening.trimmers[0] + timber.section.breadth() / 2;
    let header = |tail: Length| {
        if tail < Length::ZERO {
            return Err(BeamError::Outside {
                at: opening.headers[0].min(tail),
                span: opening.span,
            });
        }
        let mut dead = Vec::with_capacity(opening.cut.len() + 1);
        dead.push(Load::over(Length::ZERO, header_span, half_fan));
        let mut live = Vec::with_capacity(opening.cut.len());
        for (index, joist) in opening.cut.iter().enumerate() {
            let before = index
                .checked_sub(1)
                .map_or(opening.trimmers[0], |i| opening.cut[i]);
            let after = opening
                .cut
                .get(index + 1)
                .copied()
                .unwrap_or(opening.trimmers[1]);
            let strip = (after - before) / 2;
            let at = *joist - inner_face;
            dead.push(Load::at(at, timber.load.dead * strip * (tail / 2)));
            live.push(Load::at(at, timber.load.live * strip * (tail / 2)));
        }
        effects(header_span, &dead, &live)
    };
    Ok([
        header(opening.headers[0])?,
        header(opening.span - opening.headers[1])?,
    ])
}

fn trimmers_of(
    opening: &Opening,
    timber: &Timber,
    headers: &[Effects; 2],
) -> Result<[Effects; 2], BeamError> {
    let [first, last] = opening.trimmers;
    let inner = [
        opening.cut.first().copied().unwrap_or(last),
        opening.cut.last().copied().unwrap_or(first),
    ];
    let trimmer = |side: usize| {
        let strip = (inner[side] - opening.beyond[side]).abs() / 2;
        let over = |load: AreaLoad| Load::over(Length::ZERO, opening.span, load * strip);
        let [near, far] = opening.headers;
        let live_part = headers.map(|header| header.live_reactions[side]);
        let dead_part = [0, 1].map(|i| headers[i].reactions[side] - live_part[i]);
        let (mut dead, mut live) = Extra::on(opening.extra, opening.trimmers[side]);
        dead.extend([
            over(timber.load.dead),
            Load::at(near, dead_part[0]),
            Load::at(far, dead_part[1]),
        ]);
        live.extend([
            over(timber.load.live),
            Load::at(near, live_part[0]),
            Load::at(far, live_part[1]),
        ]);
        effects(opening.span, &dead, &live)
    };
    Ok([trimmer(0)?, trimmer(1)?])
}

/// The lightest frame that both the code's rule of thumb and the stresses allow.
#[derive(Debug, Clone, PartialEq)]
pub struct FramedOpening {
    /// What the code asks before any stress is computed.
    pub code: OpeningFrame,
    /// The frame with its plies; doubled throughout where not even that is enough.
    pub strength: OpeningStrength,
    /// What the loads do to its members, to judge other timber by.
    pub effects: OpeningEffects,
}

impl FramedOpening {
    /// Whether the frame holds; where it does not, an engineer must be asked.
    pub fn holds(&self) -> bool {
        self.strength.use_ratio() <= 1.0
    }
}

/// Sizes an opening's headers and trimmers: single where code and stresses allow, doubled else.
///
/// # Errors
/// Where a header lies outside the span, or the trimmers do not lie apart.
pub fn frame_opening(opening: &Opening, timber: &Timber) -> Result<FramedOpening, BeamError> {
    let code = opening_frame(
        opening.span,
        opening.header_span(timber.section),
        opening.headers,
    );
    let effects = opening_effects(opening, timber)?;
    let mut strength = effects.on(timber, code.headers, code.trimmers);
    let weak = |plies: Plies, used: f64| plies == Plies::Single && used > 1.0;
    let headers = weak(strength.header_plies, strength.headers_use());
    let trimmers = weak(strength.trimmer_plies, strength.trimmers_use());
    if headers || trimmers {
        let double = |weak: bool, plies: Plies| if weak { Plies::Double } else { plies };
        strength = effects.on(
            timber,
            double(headers, code.headers),
            double(trimmers, code.trimmers),
        );
    }
    Ok(FramedOpening {
        code,
        strength,
        effects,
    })
}

/// How a stiff frame, its middle at `middle`, shares its load among the joists it stands on; parts of 1.
///
/// # Examples
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::frame_strength::shares;
/// let joists = [Length::inches(0), Length::inches(16)];
/// assert_eq!(shares(&joists, Length::inches(8)), [0.5, 0.5]);
/// assert_eq!(shares(&joists, Length::inches(4)), [0.75, 0.25]);
/// ```
pub fn shares(joists: &[Length], middle: Length) -> Vec<f64> {
    let mut parts = vec![0.0; joists.len()];
    // A joist that the frame would lift off carries nothing; the others are shared among again.
    let mut under: Vec<usize> = (0..joists.len()).collect();
    while !under.is_empty() {
        let count = under.len() as f64;
        let centre = under.iter().map(|i| joists[*i].to_in()).sum::<f64>() / count;
        let from_centre = |i: usize| joists[i].to_in() - centre;
        let spread: f64 = under.iter().map(|i| from_centre(*i).powi(2)).sum();
        let off = middle.to_in() - centre;
        for i in &under {
            let evening = if spread > 0.0 {
                off * from_centre(*i) / spread
            } else {
                0.0
            };
            parts[*i] = 1.0 / count + evening;
        }
        let lifted: Vec<usize> = under.iter().copied().filter(|i| parts[*i] < 0.0).collect();
        if lifted.is_empty() {
            break;
        }
        for i in lifted {
            parts[i] = 0.0;
            under.retain(|other| *other != i);
        }
    }
    parts
}

/// The joists that a fan's frame stands on, and their parts of its load.
///
/// The frame stands on the joists under it, shared as [`shares`] says, where there are two or more. Where there is
/// one or none, rails are laid across to the next joists, and each half of the frame goes to the two joists beside its
/// edge by the lever. `joists` are in order; an edge beyond the last of them goes to that one alone.
///
/// # Examples
/// A frame of 41 in over joists at 24 in, one of them under its middle:
/// ```
/// use joistlight::measure::Length;
/// use joistlight::trade::frame_strength::carriers;
/// let joists = [-48, -24, 0, 24, 48].map(Length::inches);
/// let parts = carriers(&joists, Length::ZERO, Length::inches(41));
/// let at: Vec<f64> = parts.iter().map(|(joist, _)| joists[*joist].to_in()).collect();
/// assert_eq!(at, [-24.0, 0.0, 24.0]);
/// assert!((parts[0].1 - 20.5 / 48.0).abs() < 1e-12);
/// assert!((parts.iter().map(|(_, part)| part).sum::<f64>() - 1.0).abs() < 1e-12);
/// ```
pub fn carriers(joists: &[Length], middle: Length, frame_width: Length) -> Vec<(usize, f64)> {
    let edges = [middle - frame_width / 2, middle + frame_width / 2];
    let first = joists.partition_point(|joist| *joist < edges[0]);
    let past = joists.partition_point(|joist| *joist <= edges[1]);
    if past - first >= 2 {
        let parts = shares(&joists[first..past], middle);
        return (first..past).zip(parts).collect();
    }
    let mut parts: Vec<(usize, f64)> = Vec::with_capacity(4);
    let mut give = |joist: usize, part: f64| match parts.iter_mut().find(|(at, _)| *at == joist) {
        Some((_, had)) => *had += part,
        None => parts.push((joist, part)),
    };
    for edge in edges {
        let after = joists.partition_point(|joist| *joist < edge);
        match (after.checked_sub(1), joists.get(after)) {
            (Some(before), Some(next)) => {
                let low = joists[before];
                let toward = (edge - low) / (*next - low);
                give(before, 0.5 * (1.0 - toward));
                give(after, 0.5 * toward);
            }
            (Some(before), None) => give(before, 0.5),
            (None, Some(_)) => give(after, 0.5),
            (None, None) => {}
        }
    }
    parts.sort_unstable_by_key(|(joist, _)| *joist);
    parts
}

/// A fan on joists that are left whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverWhole<'a> {
    /// The joists' span, bearing to bearing.
    pub span: Length,
    /// The middles of all joists across, in order; those beside the fan too.
    pub joists: &'a [Length],
    /// The middle of the fan's frame across the joists.
    pub middle: Length,
    /// The width of the fan's frame across the joists.
    pub frame_width: Length,
    /// Where the frame's two ends lie along the joists.
    pub ends: [Length; 2],
    /// The fan's weight.
    pub fan: Force,
    /// What else hangs on joists.
    pub extra: &'a [Extra],
}

/// One joist under a fan, judged.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadedJoist {
    /// Its middle, across the joists.
    pub at: Length,
    /// How much of the fan it carries.
    pub share: Force,
    /// Its strength.
    pub strength: MemberStrength,
    /// The use ratio up to which it holds: 1, or a hair more where the ceiling alone takes that much within the code's own
    /// span table, whose spans are rounded to whole inches.
    pub limit: f64,
}

impl LoadedJoist {
    /// Whether it holds.
    pub fn holds(&self) -> bool {
        // Both come out of sums of the same loads in another order.
        self.strength.use_ratio() <= self.limit * (1.0 + 1e-9)
    }
}

/// Three or more joists count as repetitive up to this distance from each other.
pub const REPETITIVE_SPACING: Length = Length::inches(24);

/// What the ceiling and the fan do to each joist under it, whatever its wood.
#[derive(Debug, Clone, PartialEq)]
pub struct WholeEffects(Vec<UnderFan>);

#[derive(Debug, Clone, PartialEq)]
struct UnderFan {
    at: Length,
    share: Force,
    strip: Length,
    repetitive: bool,
    effects: Effects,
}

/// Judges each joist under a fan that stands on joists left whole. A fan end beyond a bearing stands on the bearing.
///
/// # Errors
/// Where there is no span.
pub fn whole_strength(
    over: &OverWhole,
    timber: &Timber,
    plies: Plies,
) -> Result<Vec<LoadedJoist>, BeamError> {
    Ok(whole_effects(over, timber.load)?.on(timber, plies))
}

/// What the ceiling and the fan do to each joist under it.
///
/// # Errors
/// Where there is no span.
pub fn whole_effects(over: &OverWhole, load: CeilingLoad) -> Result<WholeEffects, BeamError> {
    let ends = over
        .ends
        .map(|end| end.max(Length::ZERO).min(over.span.max(Length::ZERO)));
    let joists = carriers(over.joists, over.middle, over.frame_width)
        .into_iter()
        .map(|(index, part)| {
            let joist = over.joists[index];
            let next = over.joists.get(index + 1).copied();
            let last = index.checked_sub(1).map(|i| over.joists[i]);
            // Beyond the last joist known, the next is taken to be as far off as that on the other side.
            let (before, after) = match (last, next) {
                (Some(last), Some(next)) => (last, next),
                (Some(last), None) => (last, joist * 2 - last),
                (None, Some(next)) => (joist * 2 - next, next),
                (None, None) => (joist - REPETITIVE_SPACING, joist + REPETITIVE_SPACING),
            };
            let strip = (after - before) / 2;
            let repetitive = last.is_some()
                && next.is_some()
                && joist - before <= REPETITIVE_SPACING
                && after - joist <= REPETITIVE_SPACING;
            let share = over.fan * part;
            let along = |load: AreaLoad| Load::over(Length::ZERO, over.span, load * strip);
            let (mut dead, mut live) = Extra::on(over.extra, joist);
            dead.extend([
                along(load.dead),
                Load::at(ends[0], share / 2.0),
                Load::at(ends[1], share / 2.0),
            ]);
            live.push(along(load.live));
            Ok(UnderFan {
                at: joist,
                share,
                strip,
                repetitive,
                effects: effects(over.span, &dead, &live)?,
            })
        })
        .collect::<Result<_, BeamError>>()?;
    Ok(WholeEffects(joists))
}

impl WholeEffects {
    /// Judges joists of this timber with so many plies.
    pub fn on(&self, timber: &Timber, plies: Plies) -> Vec<LoadedJoist> {
        self.0
            .iter()
            .map(|it| {
                let bearing = Some(timber.bearing);
                let strength = it.effects.on(timber, plies, it.repetitive, bearing);
                LoadedJoist {
                    at: it.at,
                    share: it.share,
                    strength,
                    limit: if plies == Plies::Single && strength.use_ratio() > 1.0 {
                        it.table_limit(timber)
                    } else {
                        1.0
                    },
                }
            })
            .collect()
    }
}

impl UnderFan {
    /// What the ceiling alone takes of a joist within the code's own span table; at least 1.
    fn table_limit(&self, timber: &Timber) -> f64 {
        let span = self.effects.span;
        let load = timber.load;
        let covered = self.repetitive
            && timber.finish == Finish::Flexible
            && timber.bearing >= BEARING_ON_WOOD
            && in_span_table(timber.lumber, timber.section, self.strip, load, span);
        if !covered {
            return 1.0;
        }
        let over = |load: AreaLoad| [Load::over(Length::ZERO, span, load * self.strip)];
        effects(span, &over(load.dead), &over(load.live)).map_or(1.0, |ceiling| {
            let bearing = Some(timber.bearing);
            let alone = ceiling.on(timber, Plies::Single, true, bearing);
            alone.use_ratio().max(1.0)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::attic_load::{AtticUse, ceiling_load};
    use crate::trade::lumber::{Grade, Species};
    use crate::trade::section::Nominal;

    fn timber(species: Species, grade: Grade, nominal: Nominal, attic: AtticUse) -> Timber {
        let section = Section::dressed(nominal);
        Timber {
            section,
            lumber: Lumber::of(species, grade, section.nominal_depth()),
            bearing: Length::sixteenths(24),
            load: ceiling_load(attic, Finish::Flexible),
            finish: Finish::Flexible,
        }
    }

    fn worked() -> (Opening<'static>, Timber) {
        let opening = Opening {
            span: Length::inches(168),
            headers: [Length::inches(60), Length::sixteenths(1464)],
            trimmers: [Length::inches(-16), Length::inches(16)],
            beyond: [Length::inches(-32), Length::inches(32)],
            cut: &[Length::ZERO],
            fan: Force::from_lb(60.0),
            extra: &[],
        };
        let timber = timber(
            Species::SprucePineFir,
            Grade::No2,
            Nominal::TwoBySix,
            AtticUse::NoStorage,
        );
        (opening, timber)
    }

    #[test]
    fn the_worked_opening_comes_out_to_the_last_digit_given() {
        // Facts D6, computed there and with PyNite.
        let (opening, timber) = worked();
        assert_eq!(opening.header_span(timber.section), Length::sixteenths(488));
        let single = opening_strength(&opening, &timber, Plies::Single, Plies::Single).unwrap();
        for (header, reaction) in single.headers.iter().zip([40.0, 46.875]) {
            assert!((header.reactions[0].lb() - reaction).abs() < 1e-6);
            assert!((header.reactions[1].lb() - reaction).abs() < 1e-6);
        }
        let trimmer = &single.trimmers[1];
        assert!((trimmer.moment.at.to_in() - 88.24).abs() < 0.005);
        // Live load and half of dead load, by the case formulas on a grid of 1/1000 in: 0.6945107 in.
        let sag = trimmer.total_deflection.demand.to_in();
        assert!((sag - 0.6945107).abs() < 1e-6);
        assert_eq!(
            (trimmer.span / trimmer.total_deflection.demand).round() as i64,
            242
        );
        assert!((trimmer.live_deflection.demand.to_in() - 0.5174).abs() < 5e-5);
        assert_eq!(
            (trimmer.span / trimmer.live_deflection.demand).round() as i64,
            325
        );
        assert!((trimmer.bending.capacity.psi() - 1137.5).abs() < 1e-9);
        let double = opening_strength(&opening, &timber, Plies::Single, Plies::Double).unwrap();
        let halved = double.trimmers[0].total_deflection.demand.to_in();
        assert!((halved - 0.3472554).abs() < 1e-6);
    }

    #[test]
    fn half_of_dead_load_counts_against_the_limit_for_both() {
        // 2 × 6, E 1.4 million psi, 16 in apart over 154 in, 20 psf live and 10 psf dead: live L/275.5, with half of
        // dead load L/220.4, with all of it L/183.7 (IBC Table 1604.3, footnote d).
        let timber = timber(
            Species::SprucePineFir,
            Grade::No2,
            Nominal::TwoBySix,
            AtticUse::LimitedStorage,
        );
        let span = Length::inches(154);
        let over = |load: AreaLoad| [Load::over(Length::ZERO, span, load * Length::inches(16))];
        let (dead, live) = (over(timber.load.dead), over(timber.load.live));
        let strength =
            member_strength(&timber, Plies::Single, true, span, &dead, &live, None).unwrap();
        let part = |check: Check<Length>| (10.0 * (span / check.demand)).round() / 10.0;
        assert_eq!(part(strength.live_deflection), 275.5);
        assert_eq!(part(strength.total_deflection), 220.4);
    }

    #[test]
    fn joists_within_the_codes_span_table_are_not_doubled_for_a_fan_that_weighs_nothing() {
        // IRC Tables R802.5.1(1) and (2), each cell at the whole inch that it prints; a fan of 60 lb still weighs.
        use crate::trade::span::ceiling_joist_span;
        let mut heavier = 0;
        for species in Species::ALL {
            for grade in Grade::ALL {
                for nominal in [
                    Nominal::TwoByFour,
                    Nominal::TwoBySix,
                    Nominal::TwoByEight,
                    Nominal::TwoByTen,
                ] {
                    for spacing in [12_000, 16_000, 19_200, 24_000] {
                        for attic in [AtticUse::NoStorage, AtticUse::LimitedStorage] {
                            let timber = timber(species, grade, nominal, attic);
                            let spacing = Length::thousandths_in(spacing);
                            let most = ceiling_joist_span(
                                timber.lumber,
                                timber.section,
                                spacing,
                                timber.load,
                                Finish::Flexible,
                            )
                            .most;
                            let printed = Length::inches(most.to_in().round() as i64);
                            let joists: Vec<Length> = (-4..=4).map(|n| spacing * n).collect();
                            let over = OverWhole {
                                span: printed.min(Length::feet(26)),
                                joists: &joists,
                                middle: Length::ZERO,
                                frame_width: Length::inches(30),
                                ends: [Length::inches(40), Length::inches(70)],
                                fan: Force::ZERO,
                                extra: &[],
                            };
                            let what = format!("{species:?} {grade:?} {nominal:?} {spacing}");
                            for joist in whole_strength(&over, &timber, Plies::Single).unwrap() {
                                assert!(joist.holds(), "{what}: {:?}", joist.strength.governs());
                                assert!(joist.limit < 1.02, "{what}: {}", joist.limit);
                            }
                            let over = OverWhole {
                                fan: Force::from_lb(60.0),
                                ..over
                            };
                            let loaded = whole_strength(&over, &timber, Plies::Single).unwrap();
                            heavier += u32::from(loaded.iter().any(|joist| !joist.holds()));
                        }
                    }
                }
            }
        }
        assert!(heavier > 200, "{heavier}");
    }

    #[test]
    fn a_lone_trimmer_gets_no_repetitive_factor() {
        // A trap: 1,175.3 psi would pass under 1.15 × 1,137.5 psi.
        let (opening, timber) = worked();
        let single = opening_strength(&opening, &timber, Plies::Single, Plies::Single).unwrap();
        assert!(single.trimmers[0].use_ratio() > 1.0);
        let framed = frame_opening(&opening, &timber).unwrap();
        assert_eq!(framed.strength.trimmer_plies, Plies::Double);
        assert_eq!(framed.strength.header_plies, Plies::Single);
        assert!(framed.holds());
    }

    #[test]
    fn strength_doubles_trimmers_where_the_code_alone_would_not() {
        // Headers within 3 ft of the bearings, heavy storage on weak joists: the code says single, bending does not.
        let opening = Opening {
            span: Length::inches(120),
            headers: [Length::inches(36), Length::inches(84)],
            trimmers: [Length::inches(-24), Length::inches(24)],
            beyond: [Length::inches(-48), Length::inches(48)],
            cut: &[Length::ZERO],
            fan: Force::from_lb(60.0),
            extra: &[],
        };
        let timber = timber(
            Species::SouthernPine,
            Grade::No3,
            Nominal::TwoBySix,
            AtticUse::LimitedStorage,
        );
        let framed = frame_opening(&opening, &timber).unwrap();
        assert_eq!(framed.code.trimmers, Plies::Single);
        assert_eq!(framed.strength.trimmer_plies, Plies::Double);
    }

    #[test]
    fn dead_load_alone_is_judged_with_its_own_duration() {
        // All dead load: 0.9 of the ten-year value governs.
        let timber = timber(
            Species::HemFir,
            Grade::No2,
            Nominal::TwoBySix,
            AtticUse::NoStorage,
        );
        let span = Length::inches(100);
        let dead = [Load::at(Length::inches(50), Force::from_lb(200.0))];
        let strength =
            member_strength(&timber, Plies::Single, false, span, &dead, &[], None).unwrap();
        assert!((strength.bending.capacity.psi() - 0.9 * 850.0 * 1.3).abs() < 1e-9);
    }

    #[test]
    fn the_fan_is_shared_by_the_joists_under_it_and_nothing_is_lost() {
        let joists = [0, 16, 32].map(Length::inches);
        for middle in [2, 12, 16, 20, 30] {
            let parts = shares(&joists, Length::inches(middle));
            assert!((parts.iter().sum::<f64>() - 1.0).abs() < 1e-12, "{parts:?}");
            let moment: f64 = parts.iter().zip(joists).map(|(p, x)| p * x.to_in()).sum();
            assert!((moment - middle as f64).abs() < 1e-9);
        }
        assert_eq!(shares(&[Length::inches(5)], Length::inches(9)), [1.0]);
    }

    #[test]
    fn whole_joists_carry_ceiling_and_fan() {
        let (_, timber) = worked();
        let over = OverWhole {
            span: Length::inches(168),
            joists: &[-24, -8, 8, 24].map(Length::inches),
            middle: Length::ZERO,
            frame_width: Length::inches(32),
            ends: [Length::inches(60), Length::inches(96)],
            fan: Force::from_lb(120.0),
            extra: &[],
        };
        let joists = whole_strength(&over, &timber, Plies::Single).unwrap();
        assert_eq!(joists.len(), 2);
        for joist in joists {
            // Half the fan in two halves at 60 in and 96 in, and 20 lb/ft: the beam's worked example (beam.rs) with 30 lb each.
            assert!((joist.share.lb() - 60.0).abs() < 1e-9);
            let reactions = joist.strength.reactions;
            assert!((reactions[0].lb() - (140.0 + (204.2857 - 140.0) / 2.0)).abs() < 5e-5);
            assert!((joist.strength.bending.capacity.psi() - 1308.125).abs() < 1e-9);
        }
        // A fan end beyond the bearing stands on it.
        let beyond = OverWhole {
            ends: [Length::inches(-10), Length::inches(26)],
            ..over
        };
        let joist = &whole_strength(&beyond, &timber, Plies::Single).unwrap()[0];
        assert!(joist.strength.reactions[0] > joist.strength.reactions[1]);
    }

    #[test]
    fn what_cannot_be_framed_is_refused() {
        let (opening, timber) = worked();
        let past = Opening {
            headers: [Length::inches(60), Length::inches(170)],
            ..opening
        };
        assert!(frame_opening(&past, &timber).is_err());
        let none = Opening {
            trimmers: [Length::ZERO, Length::ZERO],
            cut: &[],
            ..opening
        };
        assert!(frame_opening(&none, &timber).is_err());
    }
}
