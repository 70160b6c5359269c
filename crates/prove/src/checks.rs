//! The hazards that a proof looks for. One hazard is one file pair: `NAME.rs` says when it is
//! there, `NAME.md` explains it and holds its examples, which are also its tests.
//! A new hazard is one more line in the list below.

use crate::event::Moment;
use crate::loads::LoadKind;
use crate::report::{Out, Report};
use model::Level;
use model::page::{Page, kebab};

/// One hazard.
pub struct Check {
    /// Its stable kebab-case word.
    pub id: &'static str,
    /// How much it matters at worst.
    pub level: Level,
    /// Its explanation in Markdown: what it sees, why it hurts, limit, remedy, source, examples; empty
    /// where the plan has the page.
    pub page: &'static str,
    run: fn(&Moment<'_>, &mut Out<'_>),
}

impl Check {
    /// Its name in words: the title of its page.
    pub fn title(&self) -> &'static str {
        Page(self.page).title()
    }

    /// One section of its page as plain text; empty where there is no such heading.
    pub fn section(&self, heading: &str) -> String {
        Page(self.page).section(heading)
    }
}

macro_rules! id {
    ($name:ident) => {{
        const WORD: [u8; stringify!($name).len()] = kebab(stringify!($name));
        match std::str::from_utf8(&WORD) {
            Ok(word) => word,
            Err(_) => stringify!($name),
        }
    }};
}

macro_rules! checks {
    (own { $($name:ident => $level:ident,)* } of_the_plan { $($load:ident => $most:ident by $kind:ident,)* }) => {
        $(mod $name;)*
        mod overload;

        /// Every hazard, in the order in which they are told.
        pub static ALL: &[Check] = &[
            $(Check {
                id: id!($name),
                level: Level::$level,
                page: include_str!(concat!("checks/", stringify!($name), ".md")),
                run: $name::check,
            },)*
            $(Check {
                id: id!($load),
                level: Level::$most,
                page: "",
                run: |moment, out| overload::of(LoadKind::$kind, Level::$most, moment, out),
            },)*
        ];
    };
}

checks! {
    own {
    // The text and the terms.
    letter_o_for_zero => Stop,
    unreadable_word => Stop,
    unknown_word => Stop,
    word_twice => Caution,
    word_of_another_system => Caution,
    point_in_whole_number => Caution,
    comma_word_unknown => Caution,
    point_missing => Caution,
    mixed_block => Stop,
    loop_not_closed => Stop,
    number_twice => Caution,
    term_fault => Stop,
    null_compared => Caution,
    fraction_steps => Caution,
    jump_target_missing => Stop,
    program_missing => Stop,
    calls_too_deep => Stop,
    arc_impossible => Stop,
    corner_impossible => Stop,
    nose_overcut => Stop,
    nose_offset_start => Stop,
    nose_offset_left_on => Stop,
    nose_sees_nothing => Caution,
    cycle_incomplete => Stop,
    feed_of_other_mode => Stop,
    home_missed => Stop,
    // Threads.
    thread_with_surface_speed => Stop,
    thread_too_fast => Stop,
    thread_speed_changed => Stop,
    thread_lead_changed => Stop,
    thread_starts_too_near => Caution,
    // Speeds and feeds of cuts, coolant.
    cutting_speed_far_off => Caution,
    feed_crawls => Stop,
    coolant_never_on => Caution,
    // Stations and tool offsets.
    station_empty => Stop,
    offset_missing => Stop,
    offset_of_another_tool => Caution,
    // The bar in the spindle.
    bar_behind_spindle => Stop,
    grip_too_short => Stop,
    bar_used_up => Stop,
    // Spindle and chuck.
    chuck_opens_while_turning => Stop,
    chuck_opens_unheld => Stop,
    spindle_starts_chuck_open => Stop,
    spindle_starts_gripped => Stop,
    cut_with_chuck_open => Stop,
    cut_spindle_stopped => Stop,
    spindle_turns_backward => Stop,
    cut_before_speed => Caution,
    feed_waits_for_spindle => Stop,
    surface_speed_unclamped => Caution,
    speed_too_high => Stop,
    starts_with_chuck_open => Caution,
    // The gripper.
    gripper_goes_on_at_rapid => Stop,
    gripper_goes_on_wrong_way => Stop,
    gripper_meets_turning_bar => Stop,
    gripper_too_near_jaws => Stop,
    gripper_wrong_size => Stop,
    engagement_too_short => Stop,
    pull_before_chuck_open => Stop,
    pull_with_chuck_closed => Stop,
    pull_too_fast => Stop,
    bar_pushed_back => Caution,
    gripper_leaves_before_closed => Stop,
    gripper_leaves_wrong_way => Stop,
    index_while_gripping => Stop,
    gripper_into_bar => Stop,
    part_falls_while_gripped => Stop,
    // The advance and the part.
    advance_too_short => Stop,
    advance_not_pitch => Caution,
    part_off_in_air => Stop,
    part_length_off => Stop,
    part_not_parted => Stop,
    // The form of the part.
    form_gouged => Stop,
    form_left_over => Stop,
    nose_not_followed => Stop,
    groove_width_off => Stop,
    thread_too_shallow => Stop,
    thread_not_drawn => Stop,
    knurl_missing => Stop,
    // Collisions.
    rapid_into_stock => Stop,
    holder_into_stock => Stop,
    tool_into_jaws => Stop,
    bore_without_hole => Stop,
    drill_off_axis => Stop,
    idle_tool_hits => Stop,
    index_inside_swing => Stop,
    beyond_travel => Stop,
    // What a tool takes.
    cut_too_deep => Stop,
    feed_too_high => Stop,
    // The count.
    loop_never_ends => Stop,
    parts_not_counted => Stop,
    count_without_part => Stop,
    count_zeroed_in_loop => Stop,
    count_steps_early => Caution,
    count_lost_at_reset => Caution,
    count_set_elsewhere => Note,
    count_is_passes => Note,
    more_than_ordered => Caution,
    bar_left_over => Note,
    }
    // What cuts ask: the pages are the plan's, which looks for the same by its own list of cuts.
    of_the_plan {
    power_too_small => Stop by Power,
    torque_too_small => Stop by Torque,
    grip_too_weak => Stop by Grip,
    bar_turns_in_jaws => Stop by Turning,
    bar_slides_in_jaws => Stop by Sliding,
    bar_tips_out => Stop by Tipping,
    jaws_lift => Caution by Lifting,
    speed_takes_grip => Stop by Speed,
    part_bends => Stop by Bending,
    }
}

/// The hazards whose pages stand here.
pub fn own() -> impl Iterator<Item = &'static Check> {
    ALL.iter().filter(|check| !check.page.is_empty())
}

/// Shows one moment to every check.
pub fn watch(moment: &Moment<'_>, report: &mut Report) {
    for check in ALL {
        (check.run)(moment, &mut report.at(check.id, check.level, moment));
    }
}

/// Shows one moment to the checks that may find what is asked for, by their word and their level at
/// worst.
pub(crate) fn watch_for(
    moment: &Moment<'_>,
    report: &mut Report,
    asked: impl Fn(&str, Level) -> bool,
) {
    for check in ALL.iter().filter(|check| asked(check.id, check.level)) {
        (check.run)(moment, &mut report.at(check.id, check.level, moment));
    }
}

/// The hazard with this word.
pub fn find(id: &str) -> Option<&'static Check> {
    ALL.iter().find(|check| check.id == id)
}
