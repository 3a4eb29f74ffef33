//! Fields of an instruction, and addition as the processor does it.

/// `count` bits of an instruction from bit `low` up.
pub(crate) const fn field(instruction: u16, low: u32, count: u32) -> u32 {
    (instruction as u32 >> low) & ((1 << count) - 1)
}

/// The register number of three bits from bit `low` up.
pub(crate) const fn register(instruction: u16, low: u32) -> usize {
    field(instruction, low, 3) as usize
}

/// The low `count` bits as a signed number.
pub(crate) const fn signed(value: u32, count: u32) -> u32 {
    let unused = 32 - count;
    ((value << unused) as i32 >> unused) as u32
}

/// Sum, carry out and signed overflow: `AddWithCarry` of the ARMv6-M manual.
pub(crate) const fn add_with_carry(a: u32, b: u32, carry: bool) -> (u32, bool, bool) {
    let wide = a as u64 + b as u64 + carry as u64;
    let sum = wide as u32;
    (sum, wide >> 32 != 0, (a ^ sum) & (b ^ sum) & 1 << 31 != 0)
}
