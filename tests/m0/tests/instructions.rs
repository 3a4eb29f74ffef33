//! Every instruction class against `data/instructions.csv`: registers, flags, memory and cycles.

use std::collections::BTreeMap;
use std::path::Path;

use milliglow_m0::{Fault, Image, Machine, Multiplier, Timing};

const RAM: u32 = 0x2000_0000;
const WATCHED_WORDS: usize = 128;

/// Everything that an instruction can change, by name.
type State = BTreeMap<String, u32>;

fn image(code: &[u16]) -> Image {
    Image::from_functions(&[("code", code)])
}

struct Case {
    title: String,
    code: Vec<u16>,
    at: usize,
    before: State,
    after: State,
    cycles: u64,
}

fn number(text: &str) -> u32 {
    let hexadecimal = text
        .strip_prefix("0x")
        .map(|digits| u32::from_str_radix(digits, 16));
    hexadecimal
        .unwrap_or_else(|| text.parse())
        .unwrap_or_else(|_| panic!("a number: {text}"))
}

fn state(text: &str) -> State {
    let pairs = text
        .split_whitespace()
        .map(|pair| pair.split_once('=').expect("name=value"));
    pairs
        .map(|(name, value)| (name.to_owned(), number(value)))
        .collect()
}

fn cases() -> Vec<Case> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/instructions.csv");
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(file)
        .expect("file");
    let case = |row: csv::StringRecord| Case {
        title: row[1].to_owned(),
        code: row[2]
            .split(' ')
            .map(|half| u16::from_str_radix(half, 16).expect("hex"))
            .collect(),
        at: row[3].parse().expect("halfwords"),
        before: state(&row[4]),
        after: state(&row[5]),
        cycles: row[6].parse().expect("cycles"),
    };
    reader
        .records()
        .map(|row| case(row.expect("a row")))
        .collect()
}

/// Lower-case names of the registers, as the file writes them.
fn register_names() -> impl Iterator<Item = (usize, String)> {
    let low = (0..13).map(|number| (number, format!("r{number}")));
    low.chain([(13, "sp".into()), (14, "lr".into()), (15, "pc".into())])
}

fn set(machine: &mut Machine, state: &State) {
    for (name, &value) in state {
        let flags = &mut machine.flags;
        match name.as_str() {
            "n" => flags.n = value == 1,
            "z" => flags.z = value == 1,
            "c" => flags.c = value == 1,
            "v" => flags.v = value == 1,
            "primask" => machine.primask = value == 1,
            place if place.starts_with('[') => {
                machine
                    .write_words(number(place.trim_matches(['[', ']'])), &[value])
                    .expect("RAM");
            }
            _ => {
                let (number, _) = register_names()
                    .find(|(_, known)| known == name)
                    .expect("known");
                machine.registers[number] = value;
            }
        }
    }
}

fn observed(machine: &Machine) -> State {
    let mut state: State = register_names()
        .map(|(k, name)| (name, machine.registers[k]))
        .collect();
    let flags = machine.flags;
    let bits = [
        ("n", flags.n),
        ("z", flags.z),
        ("c", flags.c),
        ("v", flags.v),
    ];
    state.extend(bits.map(|(name, flag)| (name.to_owned(), flag.into())));
    state.insert("primask".into(), machine.primask.into());
    let words = machine.read_words(RAM, WATCHED_WORDS).expect("RAM");
    let places = (RAM..).step_by(4).map(|at| format!("[{at:#010x}]"));
    state.extend(places.zip(words));
    state
}

fn before(case: &Case, timing: Timing) -> Machine {
    let code: Vec<u16> = std::iter::repeat_n(0, case.at)
        .chain(case.code.clone())
        .collect();
    let mut machine = Machine::new(&image(&code), timing).expect("fits");
    set(&mut machine, &state("sp=0x20000100 lr=0xfffffffe"));
    machine.registers[15] = 2 * case.at as u32;
    set(&mut machine, &case.before);
    machine
}

#[test]
fn instructions_change_what_the_manual_says() {
    let cases = cases();
    assert!(cases.len() > 100);
    for case in &cases {
        let mut machine = before(case, Timing::FAST);
        let mut expected = observed(&machine);
        let is_wide = case.code[0] >= 0xF000;
        *expected.get_mut("pc").expect("pc") += if is_wide { 4 } else { 2 };
        expected.extend(case.after.clone());
        machine
            .step()
            .unwrap_or_else(|fault| panic!("{}: {fault}", case.title));
        for (name, value) in observed(&machine) {
            let wanted = expected[&name];
            assert_eq!(
                value, wanted,
                "{} ({:x?}): {name} is {value:#x}",
                case.title, case.before
            );
        }
        assert_eq!(machine.counts(), (1, case.cycles), "{}", case.title);
    }
}

#[test]
fn only_multiplication_depends_on_the_multiplier() {
    let slow = Timing {
        multiplier: Multiplier::Slow,
        ..Timing::FAST
    };
    for case in cases() {
        let mut machine = before(&case, slow);
        machine.step().expect("runs");
        let wanted = if case.title.starts_with("muls") {
            32
        } else {
            case.cycles
        };
        assert_eq!(machine.counts().1, wanted, "{}", case.title);
    }
}

fn cycles_of(code: &[u16], timing: Timing) -> u64 {
    let mut machine = Machine::new(&image(code), timing).expect("fits");
    machine.call("code", &[]).expect("runs").cycles
}

#[test]
fn a_wait_state_costs_a_cycle_a_word_fetched_a_branch_and_a_literal() {
    let waiting = Timing {
        wait_states: 1,
        ..Timing::FAST
    };
    let in_ram = Timing {
        code_in_ram: true,
        ..waiting
    };
    let nop = 0xBF00;
    // Two words straight through, the second with the return: 1 + 1 + 1 + 3 and two fetches.
    let straight = [nop, nop, nop, 0x4770];
    assert_eq!(cycles_of(&straight, Timing::FAST), 6);
    assert_eq!(cycles_of(&straight, waiting), 8);
    assert_eq!(cycles_of(&straight, in_ram), 6);
    // A branch within a word fetches the word again: b +0 to the halfword after next.
    let branching = [0xE000, nop, 0x4770];
    assert_eq!(cycles_of(&branching, Timing::FAST), 6);
    assert_eq!(cycles_of(&branching, waiting), 8);
    // A literal costs a load from flash; with the code, literals go to RAM.
    let literal = [0x4800, 0x4770, 1, 0];
    assert_eq!(cycles_of(&literal, Timing::FAST), 5);
    assert_eq!(cycles_of(&literal, waiting), 7);
    assert_eq!(cycles_of(&literal, in_ram), 5);
}

fn fault_of(code: &[u16], sets: &str) -> Fault {
    let mut machine = Machine::new(&image(code), Timing::FAST).expect("fits");
    set(&mut machine, &state(sets));
    machine.step().expect_err("must not run")
}

#[test]
fn what_is_not_known_stops_the_machine() {
    // UDF, SVC, BKPT, WFI, CBZ and SDIV (of larger processors), a list of no registers, MRS of no register.
    let unknown: [&[u16]; 9] = [
        &[0xDE00],
        &[0xDF00],
        &[0xBE00],
        &[0xBF30],
        &[0xB100],
        &[0xFB90, 0xF0F0],
        &[0xB400],
        &[0xC800],
        &[0xF3EF, 0x80FF],
    ];
    for code in unknown {
        assert!(
            matches!(fault_of(code, "r0=0x20000000"), Fault::Unknown { .. }),
            "{code:x?}"
        );
    }
}

#[test]
fn bad_accesses_stop_the_machine() {
    assert_eq!(
        fault_of(&[0x6008], "r1=0x20000002"),
        Fault::Unaligned(0x2000_0002)
    ); // str r0, [r1]
    assert_eq!(fault_of(&[0x6008], "r1=0"), Fault::ReadOnly(0));
    assert_eq!(
        fault_of(&[0x6808], "r1=0x40000000"),
        Fault::Outside(0x4000_0000)
    ); // ldr r0, [r1]
    assert_eq!(fault_of(&[0x4708], "r1=4"), Fault::NotThumb(4)); // bx r1
}

#[test]
fn a_call_reports_its_stack_and_its_flash() {
    // push {r4, lr}; ldr r0, [pc, #0]; pop {r4, pc}; padding; the literal
    let code = [0xB510, 0x4800, 0xBD10, 0, 7, 0];
    let mut machine = Machine::new(&image(&code), Timing::FAST).expect("fits");
    let cost = machine.call("code", &[]).expect("runs");
    assert_eq!(
        (cost.results[0], cost.instructions, cost.cycles),
        (0xBD10, 3, 3 + 2 + 6)
    );
    assert_eq!((cost.stack_bytes, machine.flash_bytes(&["code"])), (8, 12));
    assert!(matches!(
        machine.call("nothing", &[]),
        Err(Fault::NoSymbol(_))
    ));
}
