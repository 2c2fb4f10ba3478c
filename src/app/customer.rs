//! What the customer is shown: plain words, no word of the trade, the same judgement.

use super::judge::sign_of;
use super::place::Sign;
use super::reader::Reader;
use crate::rules::{Assessment, Choice, Framing, Outcome, Say, SpotAssessment, Verdict, number};

/// One line of the page.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Whether it is a heading over those that follow.
    pub heading: bool,
    /// Its mark.
    pub sign: Sign,
    /// What it is about; empty for a plain sentence.
    pub about: String,
    /// What is said.
    pub text: String,
}

/// Some rules together, as the customer thinks of them: what about, and what to say of the worst of them.
struct Topic {
    about: &'static str,
    rules: &'static [&'static str],
    holds: &'static str,
    mend: &'static str,
    open: &'static str,
    fails: &'static str,
}

const TOPICS: &[Topic] = &[
    Topic {
        about: "Room for the fan",
        rules: &["place", "clear-space"],
        holds: "There is room for it, in the hall ceiling and in the attic above.",
        mend: "There is room once something has been moved.",
        open: "We have not measured all of it yet.",
        fails: "There is not enough room at this place.",
    },
    Topic {
        about: "The beams over your ceiling",
        rules: &[
            "joists-and-fan",
            "opening-framing",
            "rafter-ties",
            "joist-strength",
            "joist-bearing",
            "joist-condition",
        ],
        holds: "They can take the fan.",
        mend: "They get a frame of new wood, or are made stronger.",
        open: "We have not measured all of them yet.",
        fails: "They must not be cut for this, and it does not go without.",
    },
    Topic {
        about: "The way up",
        rules: &["way-in"],
        holds: "The fan goes up through the way that there is.",
        mend: "The way up has to be made larger for it.",
        open: "We have not measured the way up yet.",
        fails: "There is no way up for it.",
    },
    Topic {
        about: "The way out for the air",
        rules: &[
            "exhaust-vents",
            "airflow",
            "eaves",
            "insulation-clearance",
            "attic-exhaust",
            "pressed-back",
        ],
        holds: "Your attic lets the air out.",
        mend: "Your attic needs more openings, or clearer ones, to let the air out.",
        open: "We have not counted all openings of the attic and windows yet.",
        fails: "The air finds no way out.",
    },
    Topic {
        about: "Chimneys and whatever burns gas, oil or wood",
        rules: &[
            "backdraft",
            "flues",
            "combustion-air",
            "fireplace",
            "unvented-heaters",
            "attic-burner",
        ],
        holds: "With windows open, burnt gas keeps going up and out.",
        mend: "Something is done about this first, so that burnt gas never comes back into your rooms.",
        open: "This is looked at before anybody says yes.",
        fails: "Burnt gas could come back into your rooms. No fan before that is solved.",
    },
    Topic {
        about: "Electricity",
        rules: &[
            "circuit",
            "voltage",
            "disconnect",
            "switch-rating",
            "switch-box",
            "switch-place",
            "panel",
            "cable-protection",
            "attic-light",
        ],
        holds: "Your wiring can carry it.",
        mend: "A licensed electrician has some work to do for it.",
        open: "We have not looked at all of the wiring yet.",
        fails: "Your wiring cannot carry it.",
    },
    Topic {
        about: "What has to be made safe first",
        rules: &[
            "hazard-pebbles",
            "hazard-knob-and-tube",
            "hazard-damaged-wiring",
            "hazard-wet-wood",
            "hazard-mould",
            "hazard-animals",
            "garage",
            "private-attic",
            "lead-paint",
        ],
        holds: "We saw nothing that has to be made safe first.",
        mend: "Something is made safe before any other work starts.",
        open: "We have not looked at everything yet.",
        fails: "There is something that specialists have to deal with before anybody goes on.",
    },
    Topic {
        about: "Smoke and carbon monoxide alarms",
        rules: &["smoke-alarms", "co-alarms"],
        holds: "They are where they belong.",
        mend: "Some are missing. They come before the fan.",
        open: "We have not looked at all of them yet.",
        fails: "Some are missing. They come before the fan.",
    },
];

/// How to live with the fan, the grave ones first.
const LIVING: &[&str] = &[
    "Windows first. Open windows in the rooms that you want cool, then switch the fan on. Never run it with all windows shut: it would pull burnt gas back down flues and chimneys.",
    "Before the fan runs, shut the fireplace damper, and see that no fire burns and no ash glows in it.",
    "Smoke and carbon monoxide alarms stay on, and are tested every month. If the carbon monoxide alarm sounds: fan off, everybody out, call the fire department.",
    "Run it in the evening and at night, when it is cooler outdoors than in. By day keep windows and shades shut.",
    "Do not run it with smoke, heavy pollen or a fire outdoors, nor while the air conditioner runs.",
    "In winter lay the insulated cover over the shutter, and take it off before the fan runs again; put a note at the switch.",
];

/// The one sentence that stands over everything.
pub fn headline(verdict: Verdict, reader: &Reader) -> String {
    reader.tr(match verdict {
        Verdict::Fits => "A whole-house fan fits here.",
        Verdict::FitsWithWork => "A whole-house fan fits here, with some work first.",
        Verdict::NotSettled => "We cannot say yet. Some things are still to be measured.",
        Verdict::DoesNotFit => "A whole-house fan does not fit here.",
    })
}

/// The page for one spot and one choice of fan and framing.
pub fn lines(
    assessment: &Assessment,
    spot: &SpotAssessment,
    choice: &Choice,
    reader: &Reader,
) -> Vec<Line> {
    let mut lines = vec![heading(reader.tr("What we found"))];
    for topic in TOPICS {
        let worst = assessment
            .bearing_on(spot, choice)
            .filter(|finding| topic.rules.contains(&finding.rule))
            .map(|finding| finding.outcome)
            .max();
        let Some(worst) = worst else { continue };
        lines.push(Line {
            heading: false,
            sign: sign_of(worst),
            about: reader.tr(topic.about),
            text: reader.tr(match worst {
                Outcome::Holds => topic.holds,
                Outcome::Mend => topic.mend,
                Outcome::NotMeasured => topic.open,
                Outcome::Fails => topic.fails,
            }),
        });
    }
    match choice.verdict {
        Verdict::DoesNotFit => {
            lines.push(heading(reader.tr("What it means")));
            lines.push(plain(reader.tr(
                "Nothing is ordered and nothing is cut. Another place in the house, or another way to cool it, may do better; ask us.",
            )));
        }
        Verdict::NotSettled => {
            lines.push(heading(reader.tr("What happens next")));
            lines.push(plain(reader.tr(
                "Nothing is ordered and nothing is cut. What is still open is measured first; if it turns out that the fan does not fit, you are told so, and why.",
            )));
        }
        Verdict::Fits | Verdict::FitsWithWork => work(choice, reader, &mut lines),
    }
    if choice.verdict != Verdict::DoesNotFit {
        lines.push(heading(reader.tr("How to live with the fan")));
        lines.extend(LIVING.iter().map(|it| plain(reader.tr(it))));
    }
    lines.push(plain(reader.tr(
        "This is what we measured today. It is no permit and no promise: your town's code and the licensed trades have the last word.",
    )));
    lines
}

fn work(choice: &Choice, reader: &Reader, lines: &mut Vec<Line>) {
    lines.push(heading(reader.tr("What would be done")));
    lines.push(plain(reader.tr(
        "An opening is cut in your hall ceiling. A shutter covers it and closes by itself when the fan is off.",
    )));
    lines.push(plain(reader.tr(match choice.framing {
        Framing::Cut => {
            "Some beams over the ceiling are cut, and a new frame of wood takes over what they carry."
        }
        Framing::Whole => "No beam over your ceiling is cut.",
    })));
    lines.push(plain(reader.tr(
        "A licensed electrician connects the fan to a switch in the hall.",
    )));
    if let Some(changes) = choice.air.as_ref().and_then(|air| air.air_changes) {
        lines.push(plain(
            reader.said(
                &Say::new("It changes all the air in your rooms about {changes} times an hour.")
                    .with("changes", number(changes.per_hour(), "", 0)),
            ),
        ));
    }
    lines.push(plain(reader.tr(
        "Work is done under the permit that your town asks for, and looked at by its inspector.",
    )));
}

fn heading(text: String) -> Line {
    Line {
        heading: true,
        sign: Sign::None,
        about: String::new(),
        text,
    }
}

fn plain(text: String) -> Line {
    Line {
        heading: false,
        sign: Sign::None,
        about: String::new(),
        text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Tape;
    use crate::rules::{CHOICE, HOUSE, SPOT, assess};
    use crate::survey::Survey;
    use crate::trade::codes::Codes;
    use crate::trade::fan::generic;
    use crate::words::Language;
    use std::collections::BTreeSet;

    fn judged() -> Assessment {
        let now = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let survey = Survey::begin(uuid::Uuid::nil(), now, Tape::Sixteenth);
        assess(&survey, generic(), &Codes::default())
    }

    #[test]
    fn every_rule_is_told_under_one_topic() {
        let assessment = judged();
        let spot = &assessment.spots[0];
        let told: Vec<&str> = TOPICS.iter().flat_map(|it| it.rules).copied().collect();
        let once: BTreeSet<&str> = told.iter().copied().collect();
        assert_eq!(told.len(), once.len(), "a rule stands under two topics");
        let rules: BTreeSet<&str> = assessment
            .bearing_on(spot, &spot.choices[0])
            .map(|finding| finding.rule)
            .collect();
        assert_eq!(rules.len(), HOUSE.len() + SPOT.len() + CHOICE.len());
        let untold: Vec<_> = rules.difference(&once).collect();
        // How hot the attic is concerns those who go in.
        assert_eq!(untold, [&"heat"]);
        let unknown: Vec<_> = once.difference(&rules).collect();
        assert!(unknown.is_empty(), "{unknown:?}");
    }

    #[test]
    fn no_word_of_the_trade_is_used() {
        let assessment = judged();
        let spot = &assessment.spots[0];
        let reader = Reader::default();
        let mut choice = spot.choices[0].clone();
        for verdict in [
            Verdict::Fits,
            Verdict::FitsWithWork,
            Verdict::NotSettled,
            Verdict::DoesNotFit,
        ] {
            choice.verdict = verdict;
            let mut words = headline(verdict, &reader);
            for line in lines(&assessment, spot, &choice, &reader) {
                words.push_str(&format!(" {} {}", line.about, line.text));
            }
            for topic in TOPICS {
                for text in [topic.holds, topic.mend, topic.open, topic.fails] {
                    words.push_str(text);
                }
            }
            let words = words.to_lowercase();
            for jargon in [
                "joist",
                "header",
                "trimmer",
                "rafter",
                "truss",
                "soffit",
                "net free",
                "backdraft",
                "cfm",
                "rough opening",
                "awg",
                "breaker",
                "conductor",
            ] {
                assert!(!words.contains(jargon), "{jargon}");
            }
        }
    }

    #[test]
    fn the_page_is_in_spanish_too() {
        let assessment = judged();
        let spot = &assessment.spots[0];
        let of = |language| {
            let reader = Reader {
                language,
                ..Reader::default()
            };
            lines(&assessment, spot, &spot.choices[0], &reader)
        };
        let (english, spanish) = (of(Language::English), of(Language::Spanish));
        assert_eq!(english.len(), spanish.len());
        for (a, b) in english.iter().zip(&spanish) {
            assert_ne!(a.text, b.text);
        }
    }
}
