//! Beams, whole opening frames and shared loads against PyNite (PyNiteFEA, PyPI), a general-purpose frame solver.
//!
//! An opening is modelled there whole: trimmers on their bearings, headers hung between them, tail joists between
//! bearings and headers, all solved together; here it is solved member by member.

use super::python;
use crate::common::Dice;
use joistlight::measure::{Force, Length, LineLoad, Stress};
use joistlight::trade::attic_load::{AtticUse, Finish, ceiling_load};
use joistlight::trade::beam::{Beam, Load};
use joistlight::trade::frame_strength::{
    MemberStrength, Opening, OverWhole, Timber, opening_strength, shares, whole_strength,
};
use joistlight::trade::lumber::{Grade, Lumber, Species};
use joistlight::trade::opening_frame::Plies;
use joistlight::trade::section::{Nominal, Section};
use serde_json::{Value, json};

const OPENINGS: usize = 500;
const BEAMS: usize = 120;
const WHOLE: usize = 60;
const SHARES: usize = 60;

fn sixteenths(dice: &mut Dice, least_in: i64, most_in: i64) -> Length {
    Length::sixteenths(dice.between(least_in * 16, most_in * 16))
}

fn timber(dice: &mut Dice) -> Timber {
    let section = if dice.chance(70) {
        Section::dressed(*dice.pick(&Nominal::ALL))
    } else {
        let (breadth, depth) = (sixteenths(dice, 1, 3), sixteenths(dice, 4, 12));
        Section::measured(breadth, depth).expect("a size")
    };
    let (species, grade) = (*dice.pick(&Species::ALL), *dice.pick(&Grade::ALL));
    let finish = *dice.pick(&[Finish::Flexible, Finish::Plaster]);
    let attic = *dice.pick(&[AtticUse::NoStorage, AtticUse::LimitedStorage]);
    Timber {
        section,
        lumber: Lumber::of(species, grade, section.nominal_depth()),
        bearing: sixteenths(dice, 2, 5),
        load: ceiling_load(attic, finish),
        finish,
    }
}

fn timber_json(timber: &Timber) -> Value {
    json!({
        "breadth_in": timber.section.breadth().to_in(),
        "depth_in": timber.section.depth().to_in(),
        "e_psi": timber.lumber.elasticity.psi(),
        "bearing_in": timber.bearing.to_in(),
        "dead_psf": timber.load.dead.psf(),
        "live_psf": timber.load.live.psf(),
    })
}

fn plies(dice: &mut Dice) -> Plies {
    *dice.pick(&[Plies::Single, Plies::Double])
}

fn member_json(member: &MemberStrength) -> Value {
    json!({
        "reactions_lb": member.reactions.map(|it| it.lb()),
        "live_reactions_lb": member.live_reactions.map(|it| it.lb()),
        "moment_lb_in": member.moment.value.lb_in(),
        "shear_lb": member.shear_force.lb(),
        "sag_at_in": member.sag_at.to_in(),
        "total_sag_in": member.total_deflection.demand.to_in(),
        "live_sag_in": member.live_deflection.demand.to_in(),
        "bending_psi": member.bending.demand.psi(),
        "bending_allowed_psi": member.bending.capacity.psi(),
        "shear_psi": member.shear.demand.psi(),
        "bearing_psi": member.bearing.map(|it| it.demand.psi()),
    })
}

fn inches(lengths: &[Length]) -> Vec<f64> {
    lengths.iter().map(|it| it.to_in()).collect()
}

/// An opening with one to four joists cut, evenly or unevenly spaced, anywhere along its span.
fn opening(dice: &mut Dice) -> Value {
    let timber = timber(dice);
    let span = sixteenths(dice, 72, 240);
    let mut at = sixteenths(dice, -60, 0);
    let even = sixteenths(dice, 12, 26);
    let uneven = dice.chance(40);
    let count = dice.between(1, 4);
    let mut joists = vec![at];
    for _ in 0..count + 3 {
        at += if uneven {
            sixteenths(dice, 8, 30)
        } else {
            even
        };
        joists.push(at);
    }
    let last = joists.len() - 1;
    let (trimmers, beyond) = ([joists[1], joists[last - 1]], [joists[0], joists[last]]);
    let cut = &joists[2..last - 1];
    let long = sixteenths(dice, 14, 50).min(span - Length::inches(8));
    let room = span - long - Length::inches(4);
    let near =
        Length::inches(2) + Length::sixteenths(dice.between(0, (room.to_in() * 16.0) as i64));
    let opening = Opening {
        span,
        headers: [near, near + long],
        trimmers,
        beyond,
        cut,
        fan: Force::from_lb(dice.between(20, 160) as f64),
        extra: &[],
    };
    let (header_plies, trimmer_plies) = (plies(dice), plies(dice));
    let strength =
        opening_strength(&opening, &timber, header_plies, trimmer_plies).expect("an opening");
    json!({
        "timber": timber_json(&timber),
        "span_in": span.to_in(),
        "headers_in": inches(&opening.headers),
        "trimmers_in": inches(&trimmers),
        "beyond_in": inches(&beyond),
        "cut_in": inches(cut),
        "fan_lb": opening.fan.lb(),
        "header_plies": header_plies.count(),
        "trimmer_plies": trimmer_plies.count(),
        "ours": {
            "headers": strength.headers.each_ref().map(member_json),
            "trimmers": strength.trimmers.each_ref().map(member_json),
        },
    })
}

/// One beam with up to six point loads and up to three spread ones, some of them lifting.
fn beam(dice: &mut Dice) -> Value {
    let span = sixteenths(dice, 36, 240);
    let whole = (span.to_in() * 16.0) as i64;
    let place = |dice: &mut Dice| Length::sixteenths(dice.between(0, whole));
    let mut loads = Vec::new();
    let mut given = Vec::new();
    for _ in 0..dice.between(0, 6) {
        let (at, lb) = (place(dice), dice.between(-40, 300) as f64);
        loads.push(Load::at(at, Force::from_lb(lb)));
        given.push(json!({ "at_in": at.to_in(), "lb": lb }));
    }
    for _ in 0..dice.between(1, 3) {
        let (a, b) = (place(dice), place(dice));
        let plf = dice.between(1, 60) as f64;
        loads.push(Load::over(a, b, LineLoad::from_plf(plf)));
        given.push(json!({ "from_in": a.min(b).to_in(), "to_in": a.max(b).to_in(), "lb_per_in": plf / 12.0 }));
    }
    let section = Section::dressed(*dice.pick(&Nominal::ALL));
    let e = *dice.pick(&[1.2e6, 1.4e6, 1.9e6]);
    let stiffness = section.stiffness(Stress::from_psi(e));
    let beam = Beam::new(span, &loads).expect("a beam");
    let at = place(dice);
    let sag = beam.most_deflection(stiffness);
    json!({
        "span_in": span.to_in(),
        "breadth_in": section.breadth().to_in(),
        "depth_in": section.depth().to_in(),
        "e_psi": e,
        "loads": given,
        "at_in": at.to_in(),
        "ours": {
            "reactions_lb": [beam.left_reaction().lb(), beam.right_reaction().lb()],
            "moment_at_lb_in": beam.moment(at).lb_in(),
            "sag_at_in": beam.deflection(at, stiffness).to_in(),
            "most_moment_lb_in": beam.most_moment().value.lb_in(),
            "most_shear_lb": beam.most_shear().value.lb(),
            "most_sag_in": sag.value.to_in(),
            "most_sag_at_in": sag.at.to_in(),
        },
    })
}

/// A fan over joists left whole, two or more of them under its frame.
fn whole(dice: &mut Dice) -> Value {
    let timber = timber(dice);
    let span = sixteenths(dice, 72, 240);
    let spacing = sixteenths(dice, 12, 24);
    let joists: Vec<Length> = (-5..=5).map(|n| spacing * n).collect();
    let middle = sixteenths(dice, -8, 8);
    let frame_width = spacing * 2 + sixteenths(dice, 2, 10);
    let front = sixteenths(dice, 2, 30);
    let ends = [front, (front + sixteenths(dice, 14, 40)).min(span)];
    let over = OverWhole {
        span,
        joists: &joists,
        middle,
        frame_width,
        ends,
        fan: Force::from_lb(dice.between(20, 160) as f64),
        extra: &[],
    };
    let plies = plies(dice);
    let loaded = whole_strength(&over, &timber, plies).expect("joists");
    json!({
        "timber": timber_json(&timber),
        "span_in": span.to_in(),
        "spacing_in": spacing.to_in(),
        "ends_in": inches(&ends),
        "plies": plies.count(),
        "joists": loaded.iter().map(|joist| json!({
            "share_lb": joist.share.lb(),
            "ours": member_json(&joist.strength),
        })).collect::<Vec<_>>(),
        "fan_lb": over.fan.lb(),
    })
}

/// A stiff frame on joists that give way alike.
fn shared(dice: &mut Dice) -> Value {
    let mut at = Length::ZERO;
    let mut joists = vec![at];
    for _ in 0..dice.between(1, 4) {
        at += sixteenths(dice, 8, 26);
        joists.push(at);
    }
    // Near enough to their middle that the frame lifts off none of them.
    let centre = joists.iter().sum::<Length>() / joists.len() as i64;
    let middle = centre + sixteenths(dice, -3, 3);
    json!({
        "joists_in": inches(&joists),
        "middle_in": middle.to_in(),
        "ours": shares(&joists, middle),
    })
}

#[test]
fn pynite_finds_the_same_reactions_moments_and_deflections() {
    let seed = super::seed();
    println!(
        "seed {seed}: {OPENINGS} openings, {BEAMS} beams, {WHOLE} fans on whole joists, {SHARES} shared loads"
    );
    let mut dice = Dice(seed);
    let mut make = |count: usize, one: fn(&mut Dice) -> Value| -> Vec<Value> {
        (0..count).map(|_| one(&mut dice)).collect()
    };
    let cases = json!({
        "openings": make(OPENINGS, opening),
        "beams": make(BEAMS, beam),
        "whole": make(WHOLE, whole),
        "shares": make(SHARES, shared),
    });
    python::check("joists", &cases);
}
