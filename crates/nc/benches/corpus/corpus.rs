//! A text of many programs as shops have them, the same on every run.

use std::fmt::Write as _;

/// Numbers without rhyme, the same on every run.
struct Dice(u64);

impl Dice {
    /// A number from 0 to below `sides`.
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963);
        (self.0 >> 33) % sides
    }
}

/// Programs of every habit, one behind the other, until so many bytes are full. Every third has
/// its lines end in CR LF.
pub(crate) fn corpus(bytes: usize) -> String {
    let mut text = String::with_capacity(bytes + 20_000);
    let mut dice = Dice(7);
    let mut program = 1_u64;
    while text.len() < bytes {
        let mut lines = String::with_capacity(20_000);
        let _ = writeln!(
            lines,
            "O{:04} (PIN {} REV {})",
            program % 9999,
            dice.roll(9999),
            dice.roll(9)
        );
        lines.push_str("G21 G40 G80 G97 G99\n(TURNED FROM BAR, GRIPPER ON T07)\n#500=0\n");
        for _ in 0..12 {
            tool(&mut lines, &mut dice, program % 4);
        }
        advance(&mut lines, &mut dice);
        lines.push_str("N9 M30\n");
        text.push_str(&if program.is_multiple_of(3) { lines.replace('\n', "\r\n") } else { lines });
        program += 1;
    }
    text
}

/// A tool with its cuts, written after one of four habits.
fn tool(lines: &mut String, dice: &mut Dice, habit: u64) {
    let number = dice.roll(12) + 1;
    let _ = writeln!(lines, "N{number} T{number:02}{number:02} (TOOL {number})");
    let _ = writeln!(lines, "G96 S{} M3\nG0 X{}. Z2. M8", 80 + dice.roll(200), 20 + dice.roll(40));
    for cut in 1..=24 {
        let (x, z, feed) = (dice.roll(40_000), dice.roll(90_000), dice.roll(40) + 5);
        let (xs, zs) =
            (format!("{}.{:03}", x / 1000, x % 1000), format!("{}.{:03}", z / 1000, z % 1000));
        let _ = match habit {
            0 => writeln!(
                lines,
                "N{} G1 X{xs} Z-{zs} F0.{feed:02}\nN{} G0 X{}. Z2.",
                cut * 20,
                cut * 20 + 10,
                x / 1000 + 2
            ),
            1 => writeln!(lines, "G1X{xs}Z-{zs}F.{feed:02}\nX{}.\nG0Z2.", x / 1000 + 2),
            2 => writeln!(lines, "G01 X{x} Z-{z} F{feed}\nX{}\nG00 Z2000", x + 2000),
            _ => writeln!(
                lines,
                "g1 x{xs} z-{zs} f0.{feed:02}\ng2 x{}. z-{}. r{}.5\ng0 z2. ; back",
                x / 1000,
                z / 1000,
                feed % 3
            ),
        };
    }
    let _ = match dice.roll(4) {
        0 => writeln!(lines, "G71 U1.5 R0.5\nG71 P100 Q200 U0.4 W0.1 F0.25"),
        1 => writeln!(lines, "G76 P010060 Q100 R0.05\nG76 X13.55 Z-20. P1227 Q400 F2."),
        2 => writeln!(lines, "G92 X15.2 Z-20. F1.5\nX14.8\nX14.5"),
        _ => writeln!(lines, "G83 Z-22. Q4000 F0.08\nG80"),
    };
    lines.push_str("G0 X120. Z60. M9\nM1\n\n");
}

/// The bar is drawn and counted, in parameters.
fn advance(lines: &mut String, dice: &mut Dice) {
    let _ = writeln!(
        lines,
        "#500=#500+1\n#110=[#101+#102*2.]/#103\nIF[#500GE{}]GOTO9\nT0707 (GRIPPER)\n\
         WHILE[#1LT5]DO1\n#1=#1+1\nG0 X#110 Z-[#24+2.]\nEND1\nG98 G1 W{}. F1500\nM10\n/G4 X1.\nGOTO1",
        dice.roll(90) + 10,
        dice.roll(40),
    );
}
