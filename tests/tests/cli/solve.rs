//! `milliglow solve`.

use milliglow_tests::program::{Ended, Folder};
use serde_json::Value;

use crate::shipped;

fn solve(arguments: &[&str]) -> Ended {
    Folder::new().run(&[&["solve"], arguments].concat())
}

/// What a good command prints.
fn printed(arguments: &[&str]) -> String {
    let ended = solve(arguments);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{arguments:?}");
    ended.out
}

fn document(arguments: &[&str]) -> Value {
    serde_json::from_str(&printed(&[arguments, &["--json"]].concat())).unwrap()
}

#[test]
fn the_five_channel_luminaire_gives_whites() {
    let outputs = [
        &["--cct", "2700"][..],
        &["--white", "4000 K"],
        &["--white", "D65", "--flux-lm", "300", "--least-power"],
        &["--xy", "0.1,0.6"],
    ];
    let outputs: Vec<String> = outputs
        .iter()
        .map(|arguments| format!("solve {}\n{}", arguments.join(" "), printed(arguments)))
        .collect();
    insta::assert_snapshot!("colours", outputs.join("\n"));
}

#[test]
fn tables_and_ways() {
    let outputs = [
        &["--sweep", "1800..6500", "--step", "500"][..],
        &["--dim-to-warm", "2700..1800", "--knots", "6"],
        &["--fade", "2700..6500", "--knots", "5"],
    ];
    let outputs: Vec<String> = outputs
        .iter()
        .map(|arguments| format!("solve {}\n{}", arguments.join(" "), printed(arguments)))
        .collect();
    insta::assert_snapshot!("tables", outputs.join("\n"));
}

#[test]
fn two_whites_stay_on_their_line() {
    let marker = shipped("aisle-marker");
    let warm = document(&[&marker, "--cct", "3000"]);
    assert_eq!(warm["in_gamut"], true);
    assert!((warm["cct_k"].as_f64().unwrap() - 3_000.0).abs() < 0.5);
    assert!(warm["duv"].as_f64().unwrap() < -0.0005);
    let beyond = document(&[&marker, "--cct", "1800"]);
    assert_eq!(
        (&beyond["in_gamut"], &beyond["shares"][1]),
        (&false.into(), &0.0.into())
    );
}

const RECIPE: [&str; 19] = [
    "name",
    "level",
    "light",
    "shares",
    "flux_lm",
    "reachable_flux_lm",
    "power_w",
    "x",
    "y",
    "u_prime",
    "v_prime",
    "cct_k",
    "duv",
    "nominal_white",
    "asked_x",
    "asked_y",
    "in_gamut",
    "distance_uv",
    "distance_n_steps",
];

fn keys(value: &Value) -> Vec<&str> {
    value
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect()
}

#[test]
fn one_colour_is_a_document_of_documented_keys() {
    let document = document(&["--white", "D65"]);
    let top = ["schema_version", "tool", "input", "channels", "gamut"];
    assert_eq!(keys(&document), [&top[..], &RECIPE[..]].concat());
    assert_eq!(document["schema_version"], 1);
    assert_eq!(document["channels"][4], "warm");
    let shares = document["shares"].as_array().unwrap();
    assert_eq!(shares.len(), 5);
    assert!((document["x"].as_f64().unwrap() - 0.31272).abs() < 1e-6);
    assert!((document["cct_k"].as_f64().unwrap() - 6_503.0).abs() < 0.5);
    assert!((document["duv"].as_f64().unwrap() - 0.00321).abs() < 2e-5);
    assert_eq!(
        (&document["in_gamut"], &document["distance_uv"]),
        (&true.into(), &0.0.into())
    );
    assert_eq!(document["nominal_white"], "6500 K");
}

#[test]
fn several_colours_are_an_array_and_a_way_has_its_worst() {
    let sweep = document(&["--sweep", "6500..1800"]);
    let recipes = sweep["recipes"].as_array().unwrap();
    assert_eq!((recipes.len(), keys(&recipes[0])), (48, RECIPE.to_vec()));
    assert_eq!(
        (&recipes[0]["name"], &recipes[47]["name"]),
        (&"6500 K".into(), &"1800 K".into())
    );
    assert!(sweep.get("worst_duv").is_none());
    let way = document(&["--dim-to-warm", "2700..1800"]);
    let recipes = way["recipes"].as_array().unwrap();
    let levels: Vec<u64> = recipes
        .iter()
        .map(|recipe| recipe["level"].as_u64().unwrap())
        .collect();
    assert_eq!((levels.len(), levels[0], levels[7]), (8, 65_535, 4_096));
    assert!(levels.windows(2).all(|pair| pair[0] > pair[1]));
    let duv = |way: &str, name: &str| document_duv(&document(&["--fade", way]), name);
    assert!(duv("2700..6500", "straight") < -0.005);
    assert!(duv("2700..6500", "along_recipes").abs() < 0.0003);
}

fn document_duv(document: &Value, name: &str) -> f64 {
    document["worst_duv"][name]["duv"].as_f64().unwrap()
}

#[test]
fn tristimulus_values_carry_their_flux() {
    let from_y = document(&["--xyz", "95.04,100,108.88", "--even-load"]);
    assert!((from_y["flux_lm"].as_f64().unwrap() - 100.0).abs() < 1e-6);
    let most = document(&["--xyz", "95.04,100,108.88"]);
    assert_eq!(most["flux_lm"], most["reachable_flux_lm"]);
}

/// The TOML stands in a luminaire and gives the colour that it is called by.
#[test]
fn the_toml_pastes_into_the_file() {
    let folder = Folder::new();
    let mut text = std::fs::read_to_string(shipped("cove-light")).unwrap();
    for arguments in [
        &["--cct", "2700"][..],
        &["--white", "D65"],
        &["--dim-to-warm", "3000..1800"],
    ] {
        let pasted = printed(&[arguments, &["--toml"]].concat());
        text = text.replacen("[recipes]\n", &format!("[recipes]\n{pasted}"), 1);
    }
    folder.write("pasted.toml", &text);
    let ended = folder.run(&["solve", "pasted.toml", "--cct", "4000"]);
    assert_eq!((ended.code, ended.err.as_str()), (0, ""), "{text}");
    let description = milliglow_sim::description::parse(&text, "pasted.toml").unwrap();
    let way = document(&["--dim-to-warm", "3000..1800"]);
    let knots = &description.recipes[0].knots;
    assert_eq!(description.recipes[0].name, "3000 K to 1800 K");
    let rows = way["recipes"].as_array().unwrap();
    assert_eq!(knots.len(), rows.len());
    for (knot, row) in knots.iter().rev().zip(rows) {
        assert_eq!(u64::from(knot.level), row["level"].as_u64().unwrap());
        let shares = row["shares"].as_array().unwrap();
        for (share, expected) in knot.shares.iter().zip(shares) {
            assert!((share - expected.as_f64().unwrap()).abs() < 1e-6);
        }
    }
    let recipe = description
        .recipes
        .iter()
        .find(|recipe| recipe.name == "D65")
        .unwrap();
    let expected = document(&["--white", "D65"]);
    for (share, expected) in recipe
        .shares
        .iter()
        .zip(expected["shares"].as_array().unwrap())
    {
        assert!((share - expected.as_f64().unwrap()).abs() < 1e-6);
    }
}

/// The fade stands in a script and goes as it was solved: each recipe is met, and none of the way is farther from the locus.
#[test]
fn the_fade_pastes_into_the_script() {
    let way = ["--fade", "2700..6500", "--knots", "5"];
    let pasted = printed(&[&way[..], &["--toml"]].concat());
    let (recipes, fade) = pasted.split_once("\n#").unwrap();
    let text = std::fs::read_to_string(shipped("cove-light")).unwrap();
    let (top, script) = text.split_once("[[script]]").unwrap();
    let (_, cameras) = script.split_once("[[cameras]]").unwrap();
    let first = "[[script]]\nrecipe = \"2700 K\"\nlight_percent = 100.0\nseconds = 4.0\n";
    let text = format!("{top}{recipes}\n{first}#{fade}\n[[cameras]]{cameras}");
    let folder = Folder::new();
    folder.write("pasted.toml", &text);
    let ended = folder.run(&["check", "pasted.toml", "--json"]);
    assert_eq!((ended.code, &*ended.err), (0, ""), "{text}");
    let checked: Value = serde_json::from_str(&ended.out).unwrap();
    let went = &checked["white_fades"][0];
    assert_eq!((&went["fade"], &went["through"]), (&2.into(), &3.into()));
    let solved = document(&way);
    for (checked, name) in [("worst_straight", "straight"), ("worst", "along_recipes")] {
        let off = went[checked]["duv"].as_f64().unwrap() - document_duv(&solved, name);
        assert!(off.abs() < 2e-6, "{name}: {off}");
    }
    let verdicts = checked["verdicts"].as_array().unwrap();
    let met = verdicts
        .iter()
        .filter(|verdict| verdict["at"] == "fade 2: 6500 K, 8 s");
    let met = met.filter(|verdict| verdict["id"] == "arrival_error");
    let met: Vec<&Value> = met.collect();
    assert_eq!((met.len(), &met[0]["value"]), (1, &0.0.into()));
    assert!(
        met[0]["reason"]
            .as_str()
            .unwrap()
            .contains("each recipe on the way")
    );
}

#[test]
fn the_picture_is_written_and_nothing_else() {
    let folder = Folder::new();
    let ended = folder.run(&["solve", "--white", "D65", "--svg", "d65.svg", "--quiet"]);
    assert_eq!(
        (ended.code, ended.out.as_str(), ended.err.as_str()),
        (0, "", "")
    );
    let picture = folder.read("d65.svg");
    for word in [
        "<svg",
        "u′",
        "v′",
        "D65",
        "warm",
        "Planckian locus",
        "gamut of the channels",
    ] {
        assert!(picture.contains(word), "{word}");
    }
    assert_eq!(folder.names(), ["d65.svg"]);
    let ended = folder.run(&["solve", "--white", "D65", "--svg", "nowhere/d65.svg"]);
    assert_eq!((ended.code, ended.out.as_str()), (2, ""));
    assert!(
        ended.err.contains("nowhere/d65.svg: cannot be written"),
        "{}",
        ended.err
    );
}

const REFUSED: [(&[&str], &str); 26] = [
    (&[], "--cct"),
    (&["--cct", "900"], "allowed are 1_000 to 25_000 K"),
    (&["--cct", "NaN"], "allowed are 1_000 to 25_000 K"),
    (&["--cct", "warm"], "warm"),
    (
        &["--cct", "3000", "--duv", "0.06"],
        "allowed are -0.05 to 0.05",
    ),
    (&["--cct", "3000", "--xy", "0.3,0.3"], "cannot be used with"),
    (&["--xy", "0.3,0.3", "--duv", "0.01"], "cannot be used with"),
    (
        &["--xy", "0.8,0.3"],
        "no real light has the chromaticity (0.8, 0.3)",
    ),
    (&["--xy", "0.3,0"], "no real light"),
    (&["--xy", "-0.3,0.3"], "no real light"),
    (&["--xy", "0.3"], "allowed are two numbers"),
    (&["--xyz", "1,2"], "allowed are three numbers"),
    (
        &["--xyz", "0,0,0"],
        "allowed are tristimulus values with a sum above 0",
    ),
    (&["--xyz", "5,-1,3"], "no real light"),
    (&["--white", "D66"], "allowed are 2700 K"),
    (
        &["--cct", "3000", "--flux-lm", "5000", "--even-load"],
        "allowed are at most 1081.01 lm",
    ),
    (
        &["--cct", "3000", "--flux-lm", "0"],
        "allowed is a flux above 0 lm",
    ),
    (&["--cct", "3000", "--least-power"], "add --flux-lm LM"),
    (
        &["--cct", "3000", "--flux-lm", "5", "--most-flux"],
        "cannot be used with",
    ),
    (
        &[
            "--cct",
            "3000",
            "--flux-lm",
            "5",
            "--even-load",
            "--least-power",
        ],
        "cannot be used with",
    ),
    (&["--sweep", "1800"], "such as 1800..6500"),
    (&["--sweep", "1800..6500", "--step", "0"], "above 0"),
    (
        &["--sweep", "1800..6500", "--step", "0.1"],
        "allowed are at most 1000",
    ),
    (&["--sweep", "500..6500"], "500 K: a CCT of 500 K"),
    (&["--dim-to-warm", "2700..1800", "--knots", "17"], "2..=16"),
    (&["--fade", "2700..30000"], "30000 K"),
];

#[test]
fn bad_values_give_one_error_and_nothing_else() {
    for (arguments, said) in REFUSED {
        let folder = Folder::new();
        let ended = folder.run(&[&["solve", "--svg", "x.svg"], arguments].concat());
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{arguments:?}");
        assert!(ended.err.contains(said), "{arguments:?}: {}", ended.err);
        assert_eq!(ended.err.matches("error:").count(), 1, "{}", ended.err);
        assert!(folder.names().is_empty(), "{arguments:?}");
    }
}

/// A change of the aisle marker's file, and what the error must hold.
const FILES: [(&str, &str, &str); 6] = [
    (
        "x = 0.3120\ny = 0.3280",
        "x = 0.4680\ny = 0.4200",
        "all channels have one chromaticity",
    ),
    ("y = 0.3280", "y = 0", "marker.toml:30:5"),
    ("flux_lm = 55.0", "flux_lm = 0", "marker.toml:28:11"),
    (
        "x = 0.3120",
        "x = 0.9",
        "no real light has the chromaticity (0.9, 0.328) of `cool`",
    ),
    (
        "power_w = 0.55",
        "power_w = 0",
        "a number above 0, at most 10_000 W",
    ),
    (
        "power_w = 0.55\n",
        "",
        "channel `cool` is not known; add its line: power_w",
    ),
];

#[test]
fn bad_files_give_one_error() {
    let marker = std::fs::read_to_string(shipped("aisle-marker")).unwrap();
    let third = "[[channels]]\nname = \"third\"\nflux_lm = 40.0\nx = 0.39\ny = 0.374\n\n[recipes]";
    let on_line = marker.replacen("[recipes]", third, 1);
    let many: String = (0..15)
        .map(|k| {
            third
                .replace("third", &format!("c{k}"))
                .replace("[recipes]", "")
        })
        .collect();
    let many = marker.replacen("[recipes]", &format!("{many}[recipes]"), 1);
    let changed = FILES.iter().map(|(right, wrong, said)| {
        assert!(marker.contains(right), "{right}");
        (marker.replacen(right, wrong, 1), *said)
    });
    let whole = [
        (on_line, "all channels lie on one line"),
        (many, "1 to 16 tables"),
    ];
    for (text, said) in changed.chain(whole) {
        let folder = Folder::new();
        folder.write("marker.toml", &text);
        let ended = folder.run(&[
            "solve",
            "marker.toml",
            "--cct",
            "3000",
            "--flux-lm",
            "20",
            "--least-power",
        ]);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{said}");
        let joined = ended.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(joined.contains(said), "{said}: {}", ended.err);
        assert_eq!(joined.matches("error:").count(), 1, "{joined}");
        assert!(
            joined.contains("marker.toml") || joined.contains("3000 K"),
            "{joined}"
        );
    }
}
