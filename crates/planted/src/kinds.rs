//! The kinds of mistake: one family is one file, one kind is one line of the registry below.

mod chuck;
mod count;
mod cut;
mod gripper;
mod job;
pub mod not_yet;
mod pull;
mod spindle;
mod thread;
mod tools;
mod typing;

use crate::edit::Edit;
use crate::good::Text;
use crate::reading::Reading;
use crate::seed::Seed;
use prove::Setup;

/// A good program with one mistake in it.
#[derive(Debug, Clone)]
pub struct Planted {
    /// Its files.
    pub texts: Vec<Text>,
    /// The shop.
    pub setup: Setup,
    /// The line as it stood, and what became of it.
    pub what: String,
}

/// Plants a mistake where one of its kind does harm; none where it would not.
pub type Plant = fn(&Reading<'_>, &mut Seed) -> Option<Planted>;

/// One kind of mistake.
pub struct Kind {
    /// Its name, with underscores for blanks.
    pub name: &'static str,
    /// The family it is of.
    pub family: &'static str,
    /// What a person did wrong, one sentence.
    pub wrong: &'static str,
    /// The findings that count as right.
    pub right: &'static [&'static str],
    /// Why more than one finding counts, where more do; empty otherwise.
    pub why: &'static str,
    /// Plants it.
    pub plant: Plant,
}

macro_rules! kinds {
    ($($family:ident::$name:ident: $wrong:literal => [$($right:literal),+] $($why:literal)?;)*) => {
        /// Every kind of mistake.
        pub static ALL: &[Kind] = &[$(Kind {
            name: stringify!($name),
            family: stringify!($family),
            wrong: $wrong,
            right: &[$($right),+],
            why: concat!("" $(, $why)?),
            plant: $family::$name,
        },)*];
    };
}

kinds! {
    // The chuck and its times.
    chuck::dwell_after_open_dropped: "left out the wait for the chuck to open" => ["pull-before-chuck-open"];
    chuck::dwell_after_open_too_short: "typed a wait shorter than the chuck takes to open" => ["pull-before-chuck-open"];
    chuck::dwell_after_open_in_thousandths: "typed the seconds of the wait for the chuck to open behind P, where thousandths go" => ["pull-before-chuck-open"];
    chuck::dwell_after_close_dropped: "left out the wait for the chuck to grip" => ["gripper-leaves-before-closed"];
    chuck::dwell_after_close_too_short: "typed a wait shorter than the chuck takes to grip" => ["gripper-leaves-before-closed"];
    chuck::open_and_close_swapped: "took the code to close for the code to open and the other way round" => ["pull-with-chuck-closed", "gripper-leaves-before-closed"] "the pull meets a closed chuck and the gripper leaves an open one";
    chuck::never_opened: "left the chuck's opening out" => ["pull-with-chuck-closed"];
    chuck::never_closed: "left the chuck's closing out" => ["gripper-leaves-before-closed"];
    chuck::opened_before_gripper_is_on: "opens the chuck before the gripper is on the stub" => ["chuck-opens-unheld"];
    chuck::gripper_leaves_before_close: "takes the gripper off and only then closes the chuck" => ["gripper-leaves-before-closed", "advance-not-pitch"] "a gripper that goes along Z draws the open bar along with it";
    chuck::pull_before_open: "draws the bar and only then opens the chuck" => ["pull-with-chuck-closed"];
    // The spindle.
    spindle::stop_dropped: "left the spindle stop before the advance out" => ["chuck-opens-while-turning", "gripper-meets-turning-bar"] "the gripper meets the turning bar before the chuck opens on it";
    spindle::run_down_wait_dropped: "left out the wait for the spindle to run down" => ["gripper-meets-turning-bar", "chuck-opens-while-turning"] "either may be where it is still turning";
    spindle::start_dropped: "left the spindle start out" => ["cut-spindle-stopped", "feed-waits-for-spindle"] "the control waits without end or the tool is fed into a standing bar";
    spindle::started_while_gripped: "starts the spindle with the gripper still on the bar" => ["spindle-starts-gripped"];
    spindle::started_with_chuck_open: "starts the spindle before the chuck is closed" => ["spindle-starts-chuck-open"];
    spindle::wrong_direction: "typed M4 for M3 or M3 for M4" => ["spindle-turns-backward"];
    spindle::clamp_dropped: "left the highest speed out where a surface speed is called for" => ["surface-speed-unclamped"];
    spindle::clamp_too_high: "typed one zero too many in the highest speed" => ["speed-too-high"];
    spindle::fixed_for_surface: "typed G97 for G96: the surface speed becomes so many turns a minute" => ["cutting-speed-far-off"];
    spindle::surface_for_fixed: "typed G96 for G97: so many turns a minute become a surface speed" => ["cutting-speed-far-off", "surface-speed-unclamped"] "the second where no highest speed is in force";
    spindle::surface_speed_for_a_drill: "drills at constant surface speed" => ["cutting-speed-far-off"];
    // The pull.
    pull::pull_sign_wrong: "typed the wrong sign for the pull" => ["bar-pushed-back"];
    pull::pull_at_rapid: "typed G0 for G1 in the pull" => ["pull-too-fast"];
    pull::pull_feed_tenfold: "typed one zero too many in the feed of the pull" => ["pull-too-fast"];
    pull::pull_short_by_face_stock: "left the face stock out of the advance" => ["advance-not-pitch"];
    pull::pull_short_by_blade: "left the width of the blade out of the advance" => ["advance-too-short"];
    pull::pull_tenfold: "moved the point of the pull by one place" => ["advance-not-pitch", "bar-used-up"] "ten advances may draw the whole bar out";
    pull::pull_point_missing: "left the point out of the pull" => ["point-missing"];
    pull::pull_point_missing_in_whole_units: "left the point out of the pull, on a control that then counts whole units" => ["bar-used-up", "advance-not-pitch", "bar-pushed-back"] "hundreds of advances draw the bar out, or push it back";
    pull::pull_dropped: "left the pull out" => ["part-off-in-air"];
    pull::pull_twice: "typed the pull twice" => ["advance-not-pitch", "bar-used-up"] "two advances may draw the whole bar out";
    pull::per_minute_dropped: "left feed per minute out before the pull: the feed waits for a spindle that stands" => ["feed-waits-for-spindle"];
    pull::per_revolution_dropped: "left feed per revolution out: cuts take their feed per minute" => ["feed-crawls", "feed-of-other-mode"] "the feed may be said again in the wrong mode, or not";
    // The gripper.
    gripper::too_near_jaws: "typed a place of the gripper too near to the jaws" => ["gripper-too-near-jaws"];
    gripper::engaged_too_little: "typed a place of the gripper too near to the stub's end" => ["engagement-too-short"];
    gripper::goes_on_at_rapid: "typed G0 for G1 on the way onto the stub" => ["gripper-goes-on-at-rapid"];
    gripper::goes_on_not: "left out the move onto the stub" => ["chuck-opens-unheld"];
    gripper::misses_the_stub: "typed the gripper's Z without its sign" => ["chuck-opens-unheld"];
    gripper::leaves_not: "left out the gripper's way off the stub" => ["index-while-gripping", "gripper-leaves-wrong-way"] "the next move may take it off in both axes at once";
    gripper::leaves_wrong_way: "takes the gripper off the stub along the wrong axis" => ["gripper-leaves-wrong-way"];
    // The count and the loop.
    count::zeroed_in_loop: "sets the count to zero inside the loop" => ["count-zeroed-in-loop"];
    count::stepped_twice: "steps the count twice a part" => ["count-without-part"];
    count::stepped_never: "never steps the count" => ["bar-used-up", "grip-too-short", "loop-never-ends"] "whatever ends the run first";
    count::stepped_before_part_falls: "steps the count before the part is off" => ["count-steps-early"];
    count::greater_for_greater_or_equal: "typed GT for GE" => ["grip-too-short", "bar-used-up"] "one advance more than the bar has";
    count::less_for_greater: "typed LT for GE" => ["bar-left-over"];
    count::one_more_part: "counts one advance too many" => ["grip-too-short", "bar-used-up"] "one advance more than the bar has";
    count::digit_too_many: "typed one digit too many in the number of parts" => ["grip-too-short", "bar-used-up"] "more than the bar has";
    count::jump_out_dropped: "left out the jump that ends the bar" => ["bar-used-up", "grip-too-short"] "the order may end the run after the bar should have";
    count::jump_to_missing_block: "typed a block number that is not there behind GOTO" => ["jump-target-missing"];
    count::jump_out_goes_back: "jumps to the top of the loop when the count is reached" => ["part-off-in-air", "loop-never-ends", "advance-too-short"] "the bar is not drawn before the next part";
    count::starts_anew_instead_of_ending: "typed M99 for M30" => ["loop-never-ends", "bar-used-up", "part-off-in-air"] "whatever comes first when the program runs on";
    count::loop_end_dropped: "left the END of a loop out" => ["loop-not-closed"];
    count::jump_back_dropped: "left out the jump back to the next part" => ["bar-left-over"];
    count::one_repeat_too_many: "calls the part program once too often" => ["grip-too-short", "bar-used-up"] "one advance more than the bar has";
    count::repeats_too_few: "calls the part program too few times" => ["bar-left-over"];
    count::called_program_missing: "typed a wrong program number behind M98" => ["program-missing"];
    count::count_lost_at_reset: "counts in a variable that a reset clears" => ["count-lost-at-reset"];
    count::counter_word_dropped: "left out the word that steps the part counter" => ["bar-used-up", "loop-never-ends", "parts-not-counted"] "whatever ends the run first";
    count::order_smaller_than_run: "runs a whole bar for a smaller order" => ["more-than-ordered"];
    // The cuts.
    cut::part_off_at_other_corner: "took the other corner of the blade" => ["part-length-off"];
    cut::part_off_nearer_to_jaws: "parts off a millimeter too near to the jaws" => ["part-length-off"];
    cut::part_off_not_to_center: "does not part off to the center" => ["count-without-part", "part-not-parted"] "at the end of the run, or where the part should fall";
    cut::one_of_several_not_parted: "does not part one of several parts of an advance off" => ["part-not-parted"];
    cut::part_off_at_rapid: "typed G0 for G1 at the part-off" => ["rapid-into-stock"];
    cut::part_off_dropped: "left the part-off out" => ["count-without-part"];
    cut::facing_dropped: "left the facing out" => ["part-length-off"];
    cut::x_as_radius: "typed a radius where X is a diameter, beside the bar" => ["rapid-into-stock"];
    cut::x_sign_wrong: "typed the wrong sign of X" => ["rapid-into-stock"];
    cut::z_sign_wrong: "typed the wrong sign of Z in a rapid move" => ["rapid-into-stock"];
    cut::point_missing: "left the point out of X or Z" => ["point-missing"];
    cut::point_missing_beyond_travel: "left the point out of X or Z, on a control that then counts whole units" => ["beyond-travel", "unreadable-word"] "a kilometer and more is no length at all";
    cut::cut_into_jaws: "typed a cut that goes on into the jaws" => ["tool-into-jaws"];
    cut::retract_dropped: "left out the way back before the turret swings" => ["index-inside-swing"];
    cut::drill_leaves_sideways: "left out the way back out of a drilled hole" => ["rapid-into-stock", "holder-into-stock"] "point or body of the drill meets the bar";
    cut::finish_x_as_radius: "typed a radius for a finished diameter" => ["form-gouged"];
    cut::feed_tenfold: "typed one zero too many in the feed of a cut" => ["feed-too-high"];
    cut::coolant_dropped: "left the coolant off" => ["coolant-never-on"];
    cut::arc_turned_over: "typed G2 for G3 or G3 for G2" => ["form-gouged", "form-left-over"] "by the side on which the arc bulges";
    cut::arc_radius_too_small: "typed a radius that cannot join the ends of the arc" => ["arc-impossible"];
    cut::arc_center_exchanged: "exchanged I and K of an arc" => ["arc-impossible"];
    cut::nose_offset_left_on: "left G40 out" => ["nose-offset-left-on"];
    cut::nose_offset_to_wrong_side: "typed G41 for G42 or G42 for G41" => ["form-gouged", "form-left-over", "nose-overcut", "part-length-off"] "by the side; an inside corner shows it too, and a facing cut ends beside the face";
    // The tools.
    tools::blade_is_another_tool: "calls the turning tool to part off" => ["count-without-part"];
    tools::gripper_is_another_tool: "calls the turning tool to draw the bar" => ["chuck-opens-unheld"];
    tools::turning_tool_is_the_gripper: "calls the gripper to turn" => ["gripper-into-bar", "gripper-meets-turning-bar"] "by whether it comes to the axis";
    tools::empty_station: "calls a station where no tool stands" => ["station-empty"];
    tools::offset_of_another: "calls a tool with the offset of another" => ["offset-of-another-tool"];
    tools::offset_zero: "calls a tool without its offset" => ["offset-missing"];
    // Threads.
    thread::lead_changed_between_passes: "typed another lead in a later pass of a thread" => ["thread-lead-changed"];
    thread::surface_speed_in_thread: "cuts a thread at constant surface speed" => ["thread-with-surface-speed"];
    thread::speed_changed_between_passes: "changes the speed between passes of a thread" => ["thread-speed-changed"];
    thread::starts_too_near: "starts a thread too near to the face" => ["thread-starts-too-near", "rapid-into-stock"] "the face may not be cut yet";
    thread::lead_too_coarse_for_axis: "typed a lead that the axis cannot follow" => ["thread-too-fast"];
    // Typing.
    typing::letter_o_for_zero: "typed the letter O for a zero" => ["letter-o-for-zero"];
    typing::comma_for_point: "typed a comma for a point" => ["unreadable-word", "comma-word-unknown"] "as what the rest is read";
    typing::point_twice: "typed two points in a number" => ["unreadable-word"];
    typing::number_left_out: "typed a letter without its number" => ["unreadable-word"];
    typing::axis_twice: "typed the same axis twice in a block" => ["word-twice"];
    typing::bracket_left_out: "left a closing bracket out" => ["unreadable-word"];
    typing::block_number_twice: "gave a block the number of another one that is jumped to" => ["number-twice"];
    typing::words_behind_statement: "typed words into the block of a statement" => ["mixed-block"];
    typing::comment_not_closed: "did not close a comment" => ["unreadable-word"];
    typing::word_of_another_system: "typed feed per minute as another code system has it" => ["word-of-another-system", "feed-waits-for-spindle"] "the feed counts turns of a spindle that stands";
    typing::other_units: "typed G20 for G21 or G21 for G20" => ["bar-used-up", "part-length-off", "part-off-in-air", "gripper-too-near-jaws", "tool-into-jaws", "engagement-too-short"] "every length is 25 times too long or too short: whichever is met first";
    typing::unknown_g_word: "typed a G word that no control has" => ["unknown-word", "cycle-incomplete"] "the second where it stands in the contour of a cycle";
    typing::chuck_word_mistyped: "typed a wrong number for the chuck's opening" => ["pull-with-chuck-closed"];
    typing::feed_left_out: "left the first feed out" => ["feed-waits-for-spindle"];
    // The files against what stands in the shop.
    job::bar_longer_than_spindle: "loads a blank longer than the spindle" => ["bar-behind-spindle"];
    job::bar_shorter_than_counted: "loads a blank shorter than the count needs" => ["grip-too-short"];
    job::gripper_for_larger_bars: "has fingers for larger bars in the gripper" => ["gripper-wrong-size"];
    job::chuck_opens_slower: "runs the program on a slower chuck" => ["pull-before-chuck-open"];
    job::chuck_for_lower_speed: "runs the program on a chuck for lower speed" => ["speed-too-high"];
    job::blade_wider: "has a wider blade in the turret than the job says" => ["part-length-off"];
}

/// The kind with this name.
pub fn find(name: &str) -> Option<&'static Kind> {
    ALL.iter().find(|kind| kind.name == name)
}

/// The program with these changes, in its own shop; none where nothing changes.
fn planted(reading: &Reading<'_>, line: usize, edits: &[Edit]) -> Option<Planted> {
    let texts = reading.edited(edits);
    let good = reading.good;
    if texts == good.texts {
        return None;
    }
    let before = reading.code(line);
    let written: Vec<&str> = edits.iter().map(|edit| edit.text.trim()).collect();
    let written = written.join(" ");
    let name = &good.texts[reading.lines.get(line)?.file].name;
    let what = format!(
        "{name}: {before} -> {}",
        if written.trim().is_empty() { "nothing" } else { &written }
    );
    Some(Planted { texts, setup: good.setup.clone(), what })
}

/// The program unchanged, in a changed shop.
fn in_shop(reading: &Reading<'_>, setup: Setup, what: &str) -> Planted {
    Planted { texts: reading.good.texts.clone(), setup, what: what.to_owned() }
}
