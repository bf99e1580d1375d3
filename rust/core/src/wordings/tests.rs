use super::*;

fn names() -> Names {
    let pairs = [
        ("side", "[S]."),
        ("piece", "[PMS]."),
        ("be", "(?:is|are)"),
        ("own", "G."),
    ];
    pairs
        .map(|(name, told)| (name.to_owned(), told.to_owned()))
        .into()
}

fn fits(expression: &str, guard: &str, text: &str, ends: &[usize]) -> Option<(usize, String)> {
    let mut wordings = Wordings::new(&[Told { expression, guard }], &names()).unwrap();
    let text: Vec<char> = text.chars().collect();
    let found = wordings.beginning(&text, 0, ends);
    found.first().map(|fit| {
        let held = |&(name, begin, end): &Held| {
            format!("{name}={}", text[begin..end].iter().collect::<String>())
        };
        (
            fit.end,
            fit.groups.iter().map(held).collect::<Vec<_>>().join(" "),
        )
    })
}

fn held(expression: &str, text: &str) -> Option<String> {
    fits(expression, "", text, &[text.chars().count()]).map(|found| found.1)
}

#[test]
fn names_in_braces_are_groups_or_other_words() {
    assert_eq!(
        held(
            "{side} {be} ahead of {side2}(?: by {own} pawn)?",
            "S1 are ahead of S2"
        ),
        Some("side=S1 side2=S2".into())
    );
    assert_eq!(held("{side} {be} ahead", "S1 has ahead"), None);
}

#[test]
fn the_farthest_end_is_taken_that_nothing_guards() {
    let ends = [24, 16, 9];
    assert_eq!(
        fits("the pawn.*", "", "the pawn falls, and then", &ends),
        Some((24, String::new()))
    );
    assert_eq!(
        fits(
            "the pawn.*",
            ", and",
            "the pawn is lost, and so",
            &[24, 16, 8]
        ),
        Some((24, String::new()))
    );
    assert_eq!(
        fits("the pawn[^,]*", "", "the pawn is lost, and so", &[24, 16]),
        Some((16, String::new()))
    );
    assert_eq!(
        fits(
            "the pawn[^,]*",
            ", and",
            "the pawn is lost, and so",
            &[24, 16]
        ),
        None
    );
}

#[test]
fn what_is_given_back_on_the_way_is_held_no_longer() {
    assert_eq!(held("(?:(?P<a>x)y|xz)", "xz"), Some(String::new()));
    assert_eq!(held("(?:(?P<a>x|y))*z", "xyz"), Some("a=y".into()));
    assert_eq!(
        held("(?P<a>.{1,3}?)(?P<b>b*)", "abbb"),
        Some("a=a b=bbb".into())
    );
    assert_eq!(
        held("(?P<a>.{1,3})(?P<b>b*)", "abbb"),
        Some("a=abb b=b".into())
    );
    assert_eq!(held("(?:(?P<a>b)?)*b", "bbb"), Some("a=b".into()));
}

#[test]
fn looks_and_edges() {
    assert_eq!(held(r"pawn\b(?! ending)[a-z ]+", "pawn ending"), None);
    assert!(held(r"pawn\b(?! ending)[a-z ]+", "pawn endings").is_none());
    assert!(held(r"pawn\b(?= e)[a-z ]+(?<=ing)", "pawn ending").is_some());
    assert!(held(r"paw(?<!saw)n\w?$", "pawns").is_some());
    assert!(held(r"^pawn\.", "pawn.").is_some());
}

#[test]
fn finds_stand_anywhere_from_left_to_right() {
    let told = [Told {
        expression: "(?P<kind>open|closed) file",
        guard: "",
    }];
    let mut wordings = Wordings::new(&told, &names()).unwrap();
    let text: Vec<char> = "an open file, a closed file".chars().collect();
    let found = wordings.anywhere(&text);
    let places: Vec<_> = found.iter().map(|fit| (fit.begin, fit.end)).collect();
    assert_eq!(places, [(3, 12), (16, 27)]);
}

#[test]
fn a_text_without_a_needed_word_is_not_tried() {
    let mut vocabulary = Vocabulary::default();
    let told = "{side} (?:has|holds) (?:a )?(?:red|blue) hats?";
    let full = expression::with_names(told, &names());
    let parsed = expression::read(&full).unwrap();
    let keys = vocabulary.keys(&parsed.node);
    let fits = |vocabulary: &mut Vocabulary, text: &str| {
        let present = vocabulary.present(&text.chars().collect::<Vec<_>>());
        keys.iter()
            .all(|key| key.iter().any(|&word| present.has(word)))
    };
    assert!(fits(&mut vocabulary, "S1 has a red hat"));
    assert!(!fits(&mut vocabulary, "S1 has a red coat"));
    assert!(!fits(&mut vocabulary, "white has a red hat"));
}

#[test]
fn what_cannot_be_read_is_told_with_its_place() {
    for (wrong, at) in [
        ("a(b", 3),
        ("a)b", 1),
        ("*a", 1),
        (r"(a)\1", 5),
        ("(?i:a)", 1),
        ("[ab", 3),
    ] {
        let told = [
            Told {
                expression: "fine",
                guard: "",
            },
            Told {
                expression: wrong,
                guard: "",
            },
        ];
        let (number, fault) = Wordings::new(&told, &names()).err().unwrap();
        assert_eq!((number, fault.at), (1, at), "{wrong}: {fault}");
    }
}
