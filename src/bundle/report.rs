//! A survey and its findings as one HTML page that needs nothing beside it.
//!
//! Style and thumbnails stand in the page itself; each picture leads to the large one beside the page, where
//! that is there. Text from the survey is escaped by the template. The page is written piece by piece, so that
//! no more than one thumbnail is held.

use super::write::Contents;
use crate::drawing::{self, Drawing, Fitting, Sheet, svg};
use crate::house::scene::Scene;
use crate::job::figures;
use crate::measure::Length;
use crate::rules::{Arg, Choice, Finding, Outcome, Say, SpotAssessment, Verdict};
use crate::survey::fields::{self, ListEntry};
use crate::survey::{
    AnyList, FieldRef, ItemId, Kind, Photo, Record, Slot, Spot, Stop, Stroke, Value,
};
use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::borrow::Cow;
use std::io::{self, Write};

const STYLE: &str = include_str!("report.css");

/// Writes the page; `thumbnail` gives the bytes of one by its picture's SHA-256.
pub(super) fn write<E: From<io::Error>>(
    out: &mut dyn Write,
    contents: &Contents,
    thumbnail: &mut dyn FnMut(&str) -> Result<Vec<u8>, E>,
) -> Result<(), E> {
    let page = Page(contents);
    let mut put = |piece: Markup| out.write_all(piece.into_string().as_bytes());
    put(page.head())?;
    put(page.summary())?;
    put(page.house())?;
    for spot in &contents.assessment.spots {
        put(page.spot(spot))?;
    }
    put(page.measured())?;
    let photos = &contents.survey.photos;
    if !photos.is_empty() {
        let title = page.t("Pictures");
        put(html! { h2 { (title) } (PreEscaped("<div class=\"pictures\">")) })?;
        for photo in photos {
            let small = thumbnail(&photo.sha256)?;
            put(page.picture(photo, &small))?;
        }
        put(PreEscaped("</div>\n".to_owned()))?;
    }
    put(page.foot())?;
    Ok(())
}

struct Page<'a>(&'a Contents<'a>);

impl Page<'_> {
    fn t(&self, english: &'static str) -> &'static str {
        self.0.language.say(english)
    }

    fn length(&self, length: Length) -> String {
        let ways = self.0.ways;
        length.show_as(ways.tape, ways.style).text
    }

    fn say(&self, say: &Say) -> String {
        say.render(&|key| Cow::Borrowed(self.t(key)), &|l| self.length(l))
    }

    fn arg(&self, arg: &Arg) -> String {
        arg.render(&|key| Cow::Borrowed(self.t(key)), &|l| self.length(l))
    }

    /// A given answer in the reader's words.
    fn value(&self, slot: &Slot, value: &Value) -> String {
        match (slot.kind, value) {
            (Kind::Choice(words), Value::Choice(code)) => words
                .iter()
                .find(|word| word.code == *code)
                .map_or(*code, |word| self.t(word.label))
                .to_owned(),
            (_, Value::When(when)) => moment(&when.to_string()),
            (_, Value::YesNo(true)) => self.t("yes").to_owned(),
            (_, Value::YesNo(false)) => self.t("no").to_owned(),
            _ => value.show(&self.0.ways),
        }
    }

    fn spot_name(&self, spot: ItemId) -> String {
        let survey = self.0.survey;
        let number = survey.spots.iter().position(|s| s.id == spot);
        let named = survey.spot(spot).and_then(|spot| spot.name.clone());
        match (named, number) {
            (Some(name), _) => name,
            (None, Some(number)) => format!("{} {}", self.t("Spot"), number + 1),
            (None, None) => self.t("A spot that was taken out").to_owned(),
        }
    }

    fn head(&self) -> Markup {
        let Contents {
            survey, assessment, ..
        } = *self.0;
        let arrival = &survey.arrival;
        let title = self.t("Survey for a whole-house fan");
        let not_given = || self.t("not given").to_owned();
        let of = |text: &Option<String>| text.clone().unwrap_or_else(not_given);
        let when = arrival.visited_at.unwrap_or(survey.begun);
        html! {
            (DOCTYPE)
            (PreEscaped(format!("<html lang=\"{}\">", self.0.language.code())))
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy"
                    content="default-src 'none'; img-src data:; style-src 'unsafe-inline'";
                title { (title) " – " (of(&arrival.job_reference)) }
                style { (PreEscaped(STYLE)) }
            }
            (PreEscaped("<body>"))
            header {
                h1 { (title) }
                p { (of(&arrival.address)) }
                p { (self.t("Job")) ": " (of(&arrival.job_reference)) " · "
                    (self.t("Client")) ": " (of(&arrival.client)) }
            }
            table {
                tr { th { (self.t("Surveyed by")) } td { (of(&arrival.surveyor)) } }
                tr { th { (self.t("Date and time")) } td { (moment(&when.to_string())) } }
                tr { th { (self.t("Survey")) } td { (survey.id) ", " (self.t("revision")) " " (survey.revision) } }
                tr { th { (self.t("Tape")) } td { (self.t("read to")) " "
                    (survey.tape.division().show(survey.tape).text) } }
                tr { th { (self.t("Judged by")) } td { "joistlight " (assessment.rules) "; "
                    (assessment.codes.building.code()) ", "
                    (assessment.codes.electrical.code()) ", " (self.t("energy code")) ": "
                    (self.t(assessment.codes.energy.code())) "; "
                    (self.t("fan list")) ": " (assessment.fan_list) " " (assessment.fan_list_version) } }
            }
        }
    }

    fn summary(&self) -> Markup {
        html! {
            h2 { (self.t("What it comes to")) }
            table {
                tr { th { (self.t("Spot")) } th { (self.t("Verdict")) } th { (self.t("With")) } }
                @for spot in &self.0.assessment.spots {
                    tr {
                        td { (self.spot_name(spot.spot)) }
                        td { (self.verdict(spot.verdict))
                            @if !spot.settled && spot.verdict != Verdict::NotSettled {
                                " – " (self.t("answers still missing could change it"))
                            } }
                        td { @if let Some(choice) = spot.best() { (self.choice(choice)) } }
                    }
                }
            }
        }
    }

    fn verdict(&self, verdict: Verdict) -> Markup {
        let (class, sign) = match verdict {
            Verdict::Fits => ("verdict v-fits", "✓"),
            Verdict::FitsWithWork => ("verdict v-work", "✎"),
            Verdict::DoesNotFit => ("verdict v-fails", "✗"),
            Verdict::NotSettled => ("verdict v-open", "?"),
        };
        html! { span class=(class) { span.mark { (sign) } (self.t(verdict.label())) } }
    }

    fn choice(&self, choice: &Choice) -> String {
        format!("{}, {}", choice.fan, self.t(choice.framing.label()))
    }

    /// Findings, the gravest first.
    fn findings<'f>(&self, findings: impl Iterator<Item = &'f Finding>) -> Markup {
        let mut findings: Vec<&Finding> = findings.collect();
        findings.sort_by_key(|finding| match finding.outcome {
            Outcome::Fails => 0,
            Outcome::Mend => 1,
            Outcome::NotMeasured => 2,
            Outcome::Holds => 3,
        });
        html! { @for finding in findings { (self.finding(finding)) } }
    }

    fn house(&self) -> Markup {
        let findings = &self.0.assessment.house;
        html! {
            @if !findings.is_empty() {
                h2 { (self.t("The whole house, for every spot")) }
                (self.findings(findings.iter()))
            }
        }
    }

    fn spot(&self, spot: &SpotAssessment) -> Markup {
        let best = spot.best();
        let of_choice = best.map_or(&[][..], |choice| &choice.findings);
        html! {
            h2 { (self.spot_name(spot.spot)) ": " (self.verdict(spot.verdict)) }
            @if let Some(best) = best {
                p { (self.t("Findings for")) " " (self.choice(best)) }
            }
            (self.drawings(spot))
            (self.findings(spot.findings.iter().chain(of_choice)))
            @if !spot.choices.is_empty() {
                h3 { (self.t("Every fan of the list")) }
                table {
                    tr { th { (self.t("Fan")) } th { (self.t("Joists")) } th { (self.t("Verdict")) }
                        th { (self.t("What stands in the way")) } }
                    @for choice in &spot.choices {
                        tr {
                            td { (choice.fan) } td { (self.t(choice.framing.label())) }
                            td { (self.verdict(choice.verdict)) }
                            td { @for finding in choice.findings.iter().filter(|f| f.outcome == Outcome::Fails) {
                                (self.t(finding.title)) ". "
                            } }
                        }
                    }
                }
            }
        }
    }

    /// Plan and section of a spot, with the place that its best choice takes.
    fn drawings(&self, at: &SpotAssessment) -> Markup {
        let Contents { survey, fans, .. } = *self.0;
        let Some(spot) = survey.spot(at.spot) else {
            return html! {};
        };
        let scene = Scene::of(spot, fans, survey.tape);
        let found = at.best().and_then(|choice| {
            let fan = fans.fans.iter().find(|fan| fan.id == choice.fan)?;
            Some((fan, scene.place(fan, choice.framing).found()?.clone()))
        });
        let chosen = found.as_ref().map(|(fan, place)| (*fan, place));
        let plan = drawing::plan(spot.id, &scene, chosen);
        let section = drawing::section(spot.id, &spot.hall, &spot.attic, &scene, chosen);
        html! {
            @for drawing in [plan, section] { (self.drawing(&drawing)) }
        }
    }

    fn drawing(&self, drawing: &Drawing) -> Markup {
        let fit = Fitting {
            width: 640.0,
            height: 520.0,
            letters: 12.0,
            usual_scale: true,
        };
        let sheet = Sheet::lay(drawing, fit, &|it| self.length(it), &|word| {
            self.t(word).to_owned()
        });
        let title = self.t(drawing.title);
        // Within a page an SVG needs no address of its language, and this page has no address at all.
        let drawn = |scale: &str| {
            svg::write(&sheet, drawing, title, scale).replacen(
                " xmlns=\"http://www.w3.org/2000/svg\"",
                "",
                1,
            )
        };
        let scale = format!(
            "{}   1 : {}",
            self.length(sheet.bar.1),
            sheet.one_to.round()
        );
        html! {
            div.drawing {
                h3 { (title) }
                (PreEscaped(drawn(&scale)))
                @if !drawing.key.is_empty() {
                    ol { @for line in &drawing.key { li { (self.say(&line.say)) } } }
                }
                ul.inks { @for ink in drawing.inks() {
                    li { (PreEscaped(svg::sample(ink))) " " (self.t(ink.label())) }
                } }
                @if !drawing.open.is_empty() {
                    p.open { (self.t("Not drawn, because it is not measured yet: "))
                        (drawing.open.iter().map(|it| self.t(it)).collect::<Vec<_>>().join("; ")) }
                }
            }
        }
    }

    fn finding(&self, finding: &Finding) -> Markup {
        let (class, sign) = match finding.outcome {
            Outcome::Holds => ("finding o-holds", "✓"),
            Outcome::Mend => ("finding o-work", "✎"),
            Outcome::Fails => ("finding o-fails", "✗"),
            Outcome::NotMeasured => ("finding o-open", "?"),
        };
        let amounts = [
            ("Needed", &finding.need),
            ("Measured", &finding.measured),
            ("Margin", &finding.margin),
        ];
        html! {
            div class=(class) {
                h4 { span.mark { (sign) } (self.t(finding.title)) " – " (self.t(finding.outcome.label())) }
                p { (self.say(&finding.say)) }
                @if amounts.iter().any(|(_, amount)| amount.is_some()) {
                    dl { @for (name, amount) in amounts {
                        @if let Some(amount) = amount {
                            div { dt { (self.t(name)) } dd { (self.arg(amount)) } }
                        }
                    } }
                }
                @if finding.measure_again {
                    p { strong { (self.t("The margin is within what a tape can tell; measure again.")) } }
                }
                @if !finding.missing.is_empty() {
                    p { (self.t("Still missing")) ": " (self.places(&finding.missing)) }
                }
                @if !finding.remedies.is_empty() {
                    ul { @for remedy in &finding.remedies {
                        li { (self.say(&remedy.what)) " (" (self.t(remedy.who.label())) ")" }
                    } }
                }
                @for caution in &finding.cautions { p { strong { (self.say(caution)) } } }
                p.source { (self.t("Source")) ": "
                    @for (number, source) in finding.sources.iter().enumerate() {
                        @if number > 0 { "; " }
                        (source.cite) " (" (self.t(source.status.label())) ")"
                    }
                }
                (figures::folded(&finding.figures, self.t("Figures"), self.0.language, |it| self.arg(it)))
            }
        }
    }

    fn places<'f>(&self, places: impl IntoIterator<Item = &'f FieldRef>) -> String {
        let mut labels: Vec<&str> = places
            .into_iter()
            .map(|at| self.t(fields::label_of(at.field)))
            .collect();
        let mut seen = std::collections::HashSet::new();
        labels.retain(|label| seen.insert(*label));
        labels.join(", ")
    }

    fn measured(&self) -> Markup {
        let survey = self.0.survey;
        let house: [(Stop, &dyn Record); 5] = [
            (Stop::Arrival, &survey.arrival),
            (Stop::Vents, &survey.vents),
            (Stop::PowerAndFlame, &survey.power),
            (Stop::PowerAndFlame, &survey.flame),
            (Stop::WrapUp, &survey.wrap_up),
        ];
        html! {
            h2 { (self.t("What was measured")) }
            @for (turn, (stop, record)) in house.iter().enumerate() {
                @if turn == 1 { @for spot in &survey.spots { (self.measured_at(spot)) } }
                @if turn == 0 || house[turn - 1].0 != *stop { h3 { (self.t(stop.label())) } }
                (self.record(*record))
                @for list in fields::LISTS.iter().filter(|list| belongs(list, *record)) {
                    (self.list(list, None))
                }
            }
        }
    }

    fn measured_at(&self, spot: &Spot) -> Markup {
        let records: [(Stop, &dyn Record); 2] =
            [(Stop::Hall, &spot.hall), (Stop::Attic, &spot.attic)];
        html! {
            @for (stop, record) in records {
                h3 { (self.spot_name(spot.id)) " – " (self.t(stop.label())) }
                (self.record(record))
                @for list in fields::LISTS.iter().filter(|list| belongs(list, record)) {
                    (self.list(list, Some(spot.id)))
                }
            }
        }
    }

    /// Every answer of a record, given or not.
    fn record(&self, record: &dyn Record) -> Markup {
        html! {
            table { @for slot in record.slots() {
                tr { th { (self.t(slot.label)) } (self.cell(slot, record)) }
            } }
        }
    }

    fn cell(&self, slot: &Slot, record: &dyn Record) -> Markup {
        html! {
            @match record.get(slot.name) {
                Some(value) => td.figure[!matches!(slot.kind, Kind::Text)] { (self.value(slot, &value)) },
                None => td.open { (self.t("not measured yet")) },
            }
        }
    }

    /// A list as a table, one column an answer that any of its items has.
    fn list(&self, entry: &ListEntry, spot: Option<ItemId>) -> Markup {
        let list: &dyn AnyList = match self.0.survey.list(entry.id, spot) {
            Some(list) => list,
            None => return html! {},
        };
        let items: Vec<&dyn Record> = list.ids().iter().filter_map(|id| list.item(*id)).collect();
        let used = |slot: &&Slot| items.iter().any(|item| item.get(slot.name).is_some());
        let columns: Vec<&Slot> = entry.slots.iter().filter(used).collect();
        html! {
            p { strong { (self.t(entry.label)) } " – "
                @match (list.complete(), items.is_empty()) {
                    (true, true) => { (self.t("none there")) }
                    (true, false) => { (self.t("that is all of them")) }
                    (false, true) => span.open { (self.t("not looked yet")) },
                    (false, false) => span.open { (self.t("not said to be all of them")) },
                }
            }
            @if !items.is_empty() {
                div.wide { table {
                    tr { @for slot in &columns { th { (self.t(slot.label)) } } }
                    @for item in items {
                        tr { @for slot in &columns { (self.cell(slot, item)) } }
                    }
                } }
            }
        }
    }

    fn picture(&self, photo: &Photo, thumbnail: &[u8]) -> Markup {
        let data = BASE64.encode(thumbnail);
        let subject = self.t(photo.subject.label());
        let (width, height) = (photo.width.max(1), photo.height.max(1));
        // Places of strokes are thousandths of width and height, radii of the width.
        let tall = 1000.0 * f64::from(height) / f64::from(width);
        html! {
            figure {
                a href={ "photos/" (photo.sha256) ".jpg" } {
                    img src={ "data:image/jpeg;base64," (data) } alt=(subject) width=(width) height=(height);
                    @if !photo.strokes.is_empty() {
                        svg viewBox={ "0 0 1000 " (tall.round()) } preserveAspectRatio="none" aria-hidden="true" {
                            @for class in ["under", "over"] { @for stroke in &photo.strokes {
                                (stroke_shape(stroke, tall, class))
                            } }
                        }
                    }
                }
                figcaption {
                    strong { (subject) }
                    @if let Some(spot) = photo.spot { ", " (self.spot_name(spot)) }
                    @if let Some(item) = photo.item { ", " (self.item(item, photo.spot)) }
                    @if let Some(taken) = &photo.taken_at { br; (self.t("Taken")) " " (moment(taken)) }
                    @if let Some(remark) = &photo.remark { br; (remark) }
                }
            }
        }
    }

    /// The item that a picture shows: what its list calls one, and which it is.
    fn item(&self, item: ItemId, spot: Option<ItemId>) -> String {
        for entry in fields::LISTS {
            let owner = spot.filter(|_| entry.of_spot);
            let ids = self.0.survey.list(entry.id, owner).map(|list| list.ids());
            if let Some(number) = ids.and_then(|ids| ids.iter().position(|id| *id == item)) {
                return format!("{} {}", self.t(entry.one), number + 1);
            }
        }
        self.t("a thing that was taken out of the list").to_owned()
    }

    fn foot(&self) -> Markup {
        html! {
            footer {
                p { (self.t("This page repeats what was measured on the visit and what follows from it. It is \
                    no permit and no design: local codes, the authority having jurisdiction and the fan's own \
                    instructions come first; electrical, gas and structural work belongs to those licensed \
                    for it.")) }
            }
            (PreEscaped("</body></html>\n"))
        }
    }
}

/// A moment as files write it, for people: `2026-05-03 18:20, UTC −07:00`.
fn moment(text: &str) -> String {
    let shown = || {
        let (date, clock) = text.split_once('T')?;
        let (clock, offset) = match clock.find(['+', '-', 'Z']) {
            Some(at) => clock.split_at(at),
            None => (clock, ""),
        };
        let minutes = clock.get(..5)?;
        Some(match offset {
            "" => format!("{date} {minutes}"),
            "Z" | "+00:00" => format!("{date} {minutes}, UTC"),
            offset => format!("{date} {minutes}, UTC {}", offset.replace('-', "−")),
        })
    };
    shown().unwrap_or_else(|| text.to_owned())
}

/// Whether a list stands in this record.
fn belongs(list: &ListEntry, record: &dyn Record) -> bool {
    let section = |id: &'static str| id.split_once('.').map(|(section, _)| section);
    let own = record.slots().first().and_then(|slot| section(slot.id));
    own == section(list.id)
}

fn stroke_shape(stroke: &Stroke, tall: f64, class: &str) -> Markup {
    let at = |place: [u16; 2]| (f64::from(place[0]), f64::from(place[1]) * tall / 1000.0);
    match *stroke {
        Stroke::Ring { middle, radius } => {
            let (x, y) = at(middle);
            html! { circle class=(class) cx=(round(x)) cy=(round(y)) r=(radius) {} }
        }
        Stroke::Arrow { from, to } => {
            let ((x0, y0), (x1, y1)) = (at(from), at(to));
            let turn = (y1 - y0).atan2(x1 - x0);
            let barb = |by: f64| {
                let (sin, cos) = (turn + by).sin_cos();
                format!(
                    "M{} {}L{} {}",
                    round(x1),
                    round(y1),
                    round(x1 - 60.0 * cos),
                    round(y1 - 60.0 * sin)
                )
            };
            let path = format!(
                "M{} {}L{} {}{}{}",
                round(x0),
                round(y0),
                round(x1),
                round(y1),
                barb(0.5),
                barb(-0.5)
            );
            html! { path class=(class) d=(path) {} }
        }
    }
}

/// To a whole thousandth of the width: finer cannot be seen, and sines may differ in the last bit.
fn round(number: f64) -> i64 {
    number.round() as i64
}

#[cfg(test)]
mod tests {
    use super::{Contents, moment, write};
    use crate::rules::{assess, test_house::survey};
    use crate::survey::{Ways, arrival};
    use crate::trade::codes::Codes;
    use crate::trade::fan::generic;
    use crate::words::Language;
    use std::io;
    use std::path::Path;

    /// The page of a house of which only the attic's heat is known.
    fn page(language: Language) -> String {
        let survey = survey(&[
            (arrival::ATTIC_TEMPERATURE.id, "100 °F"),
            (arrival::ATTIC_HUMIDITY.id, "40 %"),
        ]);
        let assessment = assess(&survey, generic(), &Codes::default());
        let contents = Contents {
            survey: &survey,
            assessment: &assessment,
            fans: generic(),
            pictures: Path::new("."),
            ways: Ways::default(),
            language,
        };
        let mut page: Vec<u8> = Vec::new();
        write::<io::Error>(&mut page, &contents, &mut |_| Ok(Vec::new())).unwrap();
        String::from_utf8(page).unwrap()
    }

    #[test]
    fn the_arithmetic_stands_with_its_finding_the_same_every_time() {
        for (language, name) in [
            (Language::English, "heat index"),
            (Language::Spanish, "índice de calor"),
        ] {
            let page = page(language);
            let (_, finding) = page
                .split_once(language.say("How hot is the attic for the one who goes in?"))
                .expect("the finding");
            let (finding, _) = finding.split_once("</details>").expect("its figures");
            assert!(finding.contains("<details><summary>"), "{finding}");
            // The index of 100 °F and 40 % in the National Weather Service's chart.
            let row = format!("<tr><th>{name}</th><td class=\"figure\">109\u{202f}°F</td></tr>");
            assert!(finding.contains(&row), "{finding}");
            assert_eq!(page, self::page(language));
        }
    }

    #[test]
    fn moments_are_shown_as_their_clock_showed_them() {
        assert_eq!(
            moment("2026-05-03T18:20:09-07:00"),
            "2026-05-03 18:20, UTC −07:00"
        );
        assert_eq!(moment("2026-05-03T18:20:09+00:00"), "2026-05-03 18:20, UTC");
        assert_eq!(moment("2026-05-03T18:20:09"), "2026-05-03 18:20");
        assert_eq!(moment("yesterday"), "yesterday");
    }
}
