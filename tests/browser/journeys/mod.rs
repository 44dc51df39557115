//! The list of journeys; a new one is a file here and a line in [`ALL`].

mod bad_input;
mod curves;
mod edit;
mod eight_numbers;
mod felt;
mod first_visit;
mod fit;
mod harness;
mod keyboard;
mod layouts;
mod log;
mod look_ups;
mod measure;
mod offline;
mod pages;
mod photo;
mod plans;
mod print;
mod share;
mod speed;
mod steering;
mod things;
mod update;

use std::pin::Pin;
use std::sync::Arc;

use anyhow::Result;

use crate::look::Look;
use crate::stage::Tools;

type Played = Pin<Box<dyn Future<Output = Result<()>>>>;

/// What a person does, and the looks it is done in.
pub struct Journey {
    /// As the test is called.
    pub name: &'static str,
    /// Sizes and themes.
    pub looks: &'static [Look],
    /// Does it.
    pub play: fn(Arc<Tools>, Look) -> Played,
}

/// Every journey.
pub const ALL: &[Journey] = &[
    Journey {
        name: "speed_of_a_slider",
        looks: &Look::DESKTOP,
        play: |tools, look| Box::pin(speed::play(tools, look)),
    },
    Journey {
        name: "speed_of_a_finger",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(fit::speed(tools, look)),
    },
    Journey {
        name: "the_checks_can_fail",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(harness::play(tools, look)),
    },
    Journey {
        name: "first_visit",
        looks: &Look::ALL,
        play: |tools, look| Box::pin(first_visit::play(tools, look)),
    },
    Journey {
        name: "offline_cold_start",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(offline::play(tools, look)),
    },
    Journey {
        name: "a_new_version_waits",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(update::play(tools, look)),
    },
    Journey {
        name: "from_what_is_felt",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(felt::play(tools, look)),
    },
    Journey {
        name: "under_the_truck",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(measure::play(tools, look)),
    },
    Journey {
        name: "what_a_morning_comes_to",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(measure::sweep(tools, look)),
    },
    Journey {
        name: "a_log_over_a_season",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(log::play(tools, look)),
    },
    Journey {
        name: "a_private_window",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(log::private(tools, look)),
    },
    Journey {
        name: "a_phone_as_gauge",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(measure::gauge(tools, look)),
    },
    Journey {
        name: "storage_full_under_the_truck",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(log::full(tools, look)),
    },
    Journey {
        name: "every_page",
        looks: &Look::ALL,
        play: |tools, look| Box::pin(pages::play(tools, look)),
    },
    Journey {
        name: "edit_and_come_back",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(edit::play(tools, look)),
    },
    Journey {
        name: "eight_numbers",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(eight_numbers::play(tools, look)),
    },
    Journey {
        name: "every_layout",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(layouts::play(tools, look)),
    },
    Journey {
        name: "steering_linkage",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(steering::play(tools, look)),
    },
    Journey {
        name: "curves_over_the_travel",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(curves::play(tools, look)),
    },
    Journey {
        name: "tire_fit_under_a_finger",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(fit::play(tools, look)),
    },
    Journey {
        name: "something_else_beside_the_wheel",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(things::play(tools, look)),
    },
    Journey {
        name: "an_outline_over_a_photograph",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(photo::play(tools, look)),
    },
    Journey {
        name: "the_best_plan",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(plans::play(tools, look)),
    },
    Journey {
        name: "targets_that_fight",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(plans::conflict(tools, look)),
    },
    Journey {
        name: "a_long_search",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(plans::long(tools, look)),
    },
    Journey {
        name: "a_search_without_a_worker",
        looks: &Look::DESKTOP,
        play: |tools, look| Box::pin(plans::without_worker(tools, look)),
    },
    Journey {
        name: "share_to_a_friend",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(share::play(tools, look)),
    },
    Journey {
        name: "spoiled_links",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(bad_input::links(tools, look)),
    },
    Journey {
        name: "spoiled_files",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(bad_input::files(tools, look)),
    },
    Journey {
        name: "spoiled_store",
        looks: &Look::PHONE,
        play: |tools, look| Box::pin(bad_input::store(tools, look)),
    },
    Journey {
        name: "print_the_sheet",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(print::play(tools, look)),
    },
    Journey {
        name: "look_up_at_a_trailhead",
        looks: &Look::CROSSED,
        play: |tools, look| Box::pin(look_ups::play(tools, look)),
    },
    Journey {
        name: "every_look_up",
        looks: &Look::SIZES,
        play: |tools, look| Box::pin(look_ups::every_card(tools, look)),
    },
    Journey {
        name: "keyboard_only",
        looks: &Look::DESKTOP,
        play: |tools, look| Box::pin(keyboard::play(tools, look)),
    },
];
