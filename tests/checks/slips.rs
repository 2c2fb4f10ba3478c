//! A figure that a slip of the unit explains is asked back, and nothing rests on it.

use joistlight::rules::{Verdict, assess};
use joistlight::survey::fields::kind_of;
use joistlight::survey::{FieldRef, Ways};
use joistlight::trade::codes::Codes;
use joistlight::trade::fan::generic;

#[test]
fn no_verdict_rests_on_a_slip_of_the_unit() {
    let codes = Codes::default();
    let mut demo = joistlight::demo::survey().expect("the demo's house");
    let whole = assess(&demo, generic(), &codes);
    assert!(whole.doubtful.is_empty(), "{:?}", whole.doubtful);
    let spot = demo.spots[0].id;
    let (headroom, joists) = (
        FieldRef::spot("attic.hatch_headroom", spot),
        FieldRef::spot("attic.joist_spacing", spot),
    );
    // 3 in instead of 3 ft fails nothing, 24 ft instead of 24 in is refused.
    demo.type_in(headroom, "3 in", &Ways::default())
        .expect("it is taken");
    let slipped = assess(&demo, generic(), &codes);
    assert_eq!(slipped.doubtful.len(), 1);
    assert!(
        slipped.doubtful[0].why.ends_with("Did you mean 3 ft?"),
        "{}",
        slipped.doubtful[0].why
    );
    assert_ne!(slipped.spots[0].verdict, Verdict::DoesNotFit);
    demo.put(headroom, None).expect("a place");
    let missing = assess(&demo, generic(), &codes);
    assert_eq!(slipped.spots, missing.spots);
    let refused = demo.type_in(joists, "24 ft", &Ways::default()).unwrap_err();
    assert!(refused.to_string().contains("24 in?"), "{refused}");
    assert!(demo.type_in(headroom, "900 ft2", &Ways::default()).is_err());
}

/// A file may hold what nobody could type: nothing is judged by it.
#[test]
fn what_cannot_be_is_not_believed_from_a_file_either() {
    let codes = Codes::default();
    let mut demo = joistlight::demo::survey().expect("the demo's house");
    let at = FieldRef::spot("attic.joist_spacing", demo.spots[0].id);
    let parsed = kind_of(at.field)
        .expect("a field")
        .parse("5000 in", &Ways::default());
    demo.put(at, parsed.expect("a length")).expect("a place");
    let told = assess(&demo, generic(), &codes);
    assert_eq!(told.doubtful.len(), 1);
    assert!(told.doubtful[0].why.contains("cannot be right"));
    demo.put(at, None).expect("a place");
    assert_eq!(told.spots, assess(&demo, generic(), &codes).spots);
}
