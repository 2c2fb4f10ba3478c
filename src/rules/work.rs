//! The work for a choice: what its findings ask for, each thing once.
//!
//! Two rules may ask for the same thing in different amounts. [`merged`] makes one task of them, with the larger amount,
//! and puts that into the findings as well: whoever reads a finding, the list of work, a sheet or a quote reads one amount.

use super::finding::{Finding, Outcome, Say, Who, number};
use crate::measure::Area;
use crate::need::{Circuit, Need, VentPlace, Vents, Windows};
use crate::trade::conductor::Gauge;
use crate::trade::vent_area::{
    NEW_BOX, NEW_RIDGE, NEW_STRIP, NEW_TURBINE, NEW_UNDER_EAVE, NewVent,
};
use schemars::JsonSchema;
use serde::Serialize;

/// One thing to be done, and who does it.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Task {
    /// Who does it.
    pub who: Who,
    /// What to do.
    pub what: Say,
    /// The same in typed amounts, where it has any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub need: Option<Need>,
    /// The rules that ask for it.
    pub rules: Vec<&'static str>,
}

/// The tasks of all findings that can be mended, each once; remedies in `own` are set to what is needed in all.
pub(super) fn merged(shared: &[&[Finding]], own: &mut [Finding]) -> Vec<Task> {
    let mut tasks: Vec<Task> = Vec::new();
    for finding in shared.iter().copied().flatten().chain(own.iter()) {
        if finding.outcome != Outcome::Mend {
            continue;
        }
        for remedy in &finding.remedies {
            let same = tasks.iter_mut().find_map(|task| {
                let need = match (&task.need, &remedy.need) {
                    (Some(one), Some(other)) => Some(one.merge(other)?),
                    (None, None) if task.who == remedy.who && task.what == remedy.what => None,
                    _ => return None,
                };
                Some((task, need))
            });
            match same {
                Some((task, need)) => {
                    task.need = need;
                    if !task.rules.contains(&finding.rule) {
                        task.rules.push(finding.rule);
                    }
                }
                None => tasks.push(Task {
                    who: remedy.who,
                    what: remedy.what.clone(),
                    need: remedy.need,
                    rules: vec![finding.rule],
                }),
            }
        }
    }
    for task in &mut tasks {
        if let (Some(say), true) = (task.need.as_ref().and_then(told), task.rules.len() > 1) {
            task.what = say;
        }
    }
    for finding in own {
        if finding.outcome != Outcome::Mend {
            continue;
        }
        for remedy in &mut finding.remedies {
            let Some(need) = &remedy.need else { continue };
            let whole = tasks.iter().find(|task| {
                task.rules.contains(&finding.rule)
                    && task
                        .need
                        .as_ref()
                        .is_some_and(|it| it.merge(need).is_some())
            });
            if let Some(task) = whole {
                remedy.need = task.need;
                remedy.what = task.what.clone();
            }
        }
    }
    tasks
}

/// A need in a sentence; none where the rule that asks for it tells more than its amounts.
pub(super) fn told(need: &Need) -> Option<Say> {
    Some(match need {
        Need::Vents(vents) => told_vents(vents),
        Need::Windows(windows) => told_windows(windows),
        Need::Circuit(circuit) => told_circuit(circuit),
        Need::Headers {
            joists,
            plies,
            length,
        } => Say::new(
            "Joists to cut: {count}. Head them with two {headers} headers of the joists' own size and grade, {span} long, square to the joists.",
        )
        .with("count", *joists)
        .with("headers", plies.label())
        .with("span", *length),
        Need::Trimmers(span) => Say::new(
            "Double both trimmers with joists of the same size and grade, from bearing to bearing ({span}).",
        )
        .with("span", *span),
        _ => return None,
    })
}

fn square_inches(value: Area) -> super::Arg {
    // Never less than is missing.
    number((value.in2() - 1e-6).ceil(), "in²", 0)
}

fn told_vents(vents: &Vents) -> Say {
    let told = |(place, gap): (VentPlace, Area)| {
        let count = |vent: &NewVent| vent.count_for(gap);
        let high = |say: Say| {
            say.with("boxes", count(&NEW_BOX))
                .with("feet", count(&NEW_RIDGE))
                .with("turbines", count(&NEW_TURBINE))
        };
        let low = |say: Say| {
            say.with("eave", count(&NEW_UNDER_EAVE))
                .with("strip", count(&NEW_STRIP))
        };
        let say = match place {
            VentPlace::Upper => high(Say::new(
                "Add {gap} of net free area within 3 ft of the top of the roof: {boxes} × box vent of 50 in², or {feet} ft of \
                 ridge vent at 18 in² a foot, or {turbines} × turbine with a 12 in throat.",
            )),
            VentPlace::Lower => low(Say::new(
                "Add {gap} of net free area at the eaves: {eave} × under-eave vent (8 × 16 in) of 45 in², or {strip} ft of soffit \
                 strip at 9 in² a foot.",
            )),
            VentPlace::Anywhere => low(high(Say::new(
                "Add {gap} of net free area, anywhere in the attic: {boxes} × box vent of 50 in², or {feet} ft of ridge \
                 vent at 18 in² a foot, or {turbines} × turbine with a 12 in throat, or {eave} × under-eave vent (8 × 16 \
                 in) of 45 in², or {strip} ft of soffit strip at 9 in² a foot. What is marked on the vent counts.",
            ))),
        };
        say.with("gap", square_inches(gap))
    };
    vents
        .gaps()
        .map(told)
        .reduce(|first, second| {
            Say::new("{first} {second}")
                .with("first", first)
                .with("second", second)
        })
        .unwrap_or(Say::new("Add no vents."))
}

fn told_windows(windows: &Windows) -> Say {
    let ft2 = |area: Area| number((area.ft2() * 10.0 - 1e-6).ceil() / 10.0, "ft²", 1);
    Say::new(if windows.interlock {
        "Let in as much as {need} of open window straight to the hall, {more} more than now: doors open and more windows. Fit \
         a switch that keeps the fan off until they are open."
    } else {
        "Let in as much as {need} of window straight to the hall, {more} more than now."
    })
    .with("need", ft2(windows.open))
    .with("more", ft2(windows.more()))
}

fn told_circuit(circuit: &Circuit) -> Say {
    let wire = circuit.wire.map_or("", Gauge::label);
    let say = match (circuit.own, circuit.wire, circuit.run) {
        (Some(_), None, _) => Say::new(
            "Run the fan a circuit of its own, breaker {breaker}, shorter than {run}: over that run no usual wire brings enough voltage.",
        ),
        (Some(_), _, Some(_)) => Say::new(
            "Run the fan a circuit of its own: breaker {breaker}, copper {wire} or thicker over {run}, cable marked NM-B or better.",
        ),
        (Some(_), _, None) => Say::new(
            "Run the fan a circuit of its own: breaker {breaker}, copper {wire} or thicker, cable marked NM-B or better.",
        ),
        (None, Some(_), Some(_)) => Say::new("Run copper {wire} or thicker over {run}."),
        (None, Some(_), None) => Say::new("Run copper {wire} or thicker."),
        (None, None, _) => {
            Say::new("Run a circuit of the fan's own, shorter or with thicker wire.")
        }
    };
    let say = say.with("wire", wire);
    let say = match circuit.own {
        Some(breaker) => say.with("breaker", number(breaker.a(), "A", 0)),
        None => say,
    };
    match circuit.run {
        // Rounded up: nobody buys or thinks of a cable to the inch.
        Some(run) => say.with("run", number(run.to_ft().ceil(), "ft", 0)),
        None => say,
    }
}
