//! The rules: one file each, and this registry. A rule looks at the whole state and says what it would do; the order of
//! the registry does not matter. To add a rule: a file with a `RULE`, a name in the list below.

use crate::finding::Page;

use super::act::Rule;

pub mod pages;

macro_rules! rules { ($($name:ident),* $(,)?) => {
    $(pub mod $name;)*

    /// All rules.
    pub const RULES: &[Rule] = &[$($name::RULE),*];

    const OF_RULES: &[Page] = &[$($name::RULE.page),*];
} }

rules! {
    no_doors, set_not_defined, set_not_used, set_empty, opening_without_set, door_numbers, line_excluded, supplier_unknown, alternate_in_base, left_out_at, holds_at,
    hinge_count, hinge_size, hinge_weight, hinge_bearing, hinge_base, hinge_pin,
    finish_missing, finish_by_base,
    power_transfer, electrified_hinge_place, electrified_hinge_like, electrified_hinge_made, electrified_hinge_twice, electrified_hinge_each, conductor_count, conductors_short,
    mortar_guard, leaf_raceway, template_first, transfer_without_device, transfer_limits, monitor_hinge,
    fire_closer, fire_latch, fire_hold_open, fire_exit_hardware, fire_hinge,
    fail_mode, fire_electric_strike, power_supply,
    exterior_threshold, exterior_seal, exterior_sweep, smoke_seal, silencer,
    seal_and_silencer, length, unequal_leaves, plate_size, dust_proof_strike, coordinator, manual_bolts_fire,
    facts_missing, keying, hand_missing, stop_missing, function_for_room, hinge_position, lock_prep,
    fire_plate, fire_astragal, magnetic_holder, double_egress, rating_unclear,
    stair_reentry, magnet_release, panic_hardware, electrical_room_exit, egress_flush_bolts, panic_flush_bolts,
    egress_key_inside, egress_two_motions, delayed_egress,
    voltage_mismatch, supply_size, exterior_electrified_hinge, exterior_hinge_finish,
    rim_pair_mullion, inactive_leaf, pair_quantity, leaf_or_pair,
    set_conditions, quantity_missing, quantity_improbable, refers_elsewhere, line_twice, no_lock, latch_and_push_pull, closer_missing,
    stops_twice, overhead_and_closer, overhead_swing_clear, plate_clash, bolt_door, bottom_conflict, mixed_finishes, thick_door, sound_rated,
    threshold_height, clear_width, lever_not_knob, smooth_push_side, panic_swing, secure_side_pin, rain_drip,
    storefront, wire_path, latch_retraction_fire, fire_field_work, fire_leaf_size, heavy_leaf_transfer,
    retrofit_wiring, transfer_chosen, fusible_link, field_adjustment, bolt_reach, strike_lip, closer_arm, closer_size,
    closer_room, doors_collide, wood_frame_silencer, exterior_lock, vestibule_lock, not_swinging,
    stop_kind, special_leaf, exterior_evidence, electrified_hinge_mixed, fire_undercut, plate_missing, holder_as_stop,
    note_of_goods, note_of_set, remark_of_goods, remark_function, device_stile, device_function, device_trim, function_by_kind, strike_for_lock, cylinder_kind, core_of_set, cylinder_twice, pull_of_set, overhead_size, size_of_leaf, strike_wires, kind_by_number, gasketing_kind, voltage_drop, smoke_label,
}

/// Rules that speak once the others have settled, and change nothing any more.
pub const LATE: &[&str] =
    &["hinge-position", "lock-prep", "smoke-label", "exterior-evidence", "voltage-drop", "plate-missing"];

/// The pages of every code of this room, in the order of the list above, then those that are no rule's.
pub static PAGES: &[Page] = &PAGES_ARRAY;

const COUNT: usize = OF_RULES.len() + pages::OTHERS.len();

static PAGES_ARRAY: [Page; COUNT] = {
    let mut all = [pages::OTHERS[0]; COUNT];
    let mut at = 0;
    while at < OF_RULES.len() {
        all[at] = OF_RULES[at];
        at += 1;
    }
    while at < COUNT {
        all[at] = pages::OTHERS[at - OF_RULES.len()];
        at += 1;
    }
    all
};

pub use pages::rules_quarrel;

#[cfg(test)]
mod tests {
    use super::RULES;
    use crate::complete::Answers;
    use crate::complete::example::{completed, completed_by, speaks};
    use crate::complete::told::Told;
    use crate::terms::Terms;

    #[test]
    fn every_rule_speaks_on_its_example_and_is_quiet_on_the_other() {
        let mut wrong = Vec::new();
        for rule in RULES {
            if !speaks(&completed(rule.fires), rule.page.code) {
                wrong.push(format!("{} is quiet on: {}", rule.page.code, rule.fires));
            }
            if speaks(&completed(rule.quiet), rule.page.code) {
                wrong.push(format!("{} speaks on: {}", rule.page.code, rule.quiet));
            }
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }

    /// A file that is left out of the registry, or whose code is not its name, would have no page and no example.
    #[test]
    fn every_file_is_a_rule_of_the_registry_and_has_its_page_and_both_examples() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/complete/rules");
        let files: std::collections::BTreeSet<String> = std::fs::read_dir(folder)
            .unwrap()
            .filter_map(|file| {
                file.unwrap().file_name().to_str()?.strip_suffix(".rs").map(|name| name.replace('_', "-"))
            })
            .filter(|name| !["mod", "pages"].contains(&name.as_str()))
            .collect();
        let codes: std::collections::BTreeSet<String> = RULES.iter().map(|rule| rule.page.code.to_owned()).collect();
        assert_eq!(files, codes);
        for rule in RULES {
            let (page, code) = (rule.page, rule.page.code);
            let texts = [page.title, page.trigger, page.consequence, page.source, page.sure, page.fires, page.quiet];
            assert!(texts.iter().all(|text| !text.trim().is_empty()), "{code}: a part of its page is empty");
            // One rule speaks where there are no doors.
            let doors = code == "no-doors" || rule.fires.contains("door ");
            assert!(doors && rule.quiet.contains("door "), "{code}: an example has no door");
            assert_ne!(rule.fires, rule.quiet, "{code}: both examples are one");
        }
    }

    #[test]
    fn the_order_of_rules_does_not_matter_and_none_quarrel() {
        let backwards: Vec<_> = RULES.iter().rev().copied().collect();
        for rule in RULES {
            let one = completed(rule.fires);
            let other = completed_by(&backwards, rule.fires, &Terms::default(), &Answers::new());
            assert_eq!(one.findings, other.findings, "{}", rule.fires);
            assert_eq!(one.added, other.added, "{}", rule.fires);
            assert!(!speaks(&one, "rules-quarrel"), "{}: {:#?}", rule.fires, one.findings);
        }
    }

    #[test]
    fn a_rule_can_be_switched_off_or_made_to_ask() {
        let text = "door 101 36x84 hm stud 90min; hinge 3; mortise-lock 1 function=F07";
        let terms = |word: &str| {
            let mut terms = Terms::default();
            terms.rules.insert("fire-closer".to_owned(), word.to_owned());
            terms
        };
        let off = completed_by(RULES, text, &terms("off"), &Answers::new());
        assert!(!speaks(&off, "fire-closer"));
        let ask = completed_by(RULES, text, &terms("ask"), &Answers::new());
        let finding = ask.findings.iter().find(|finding| finding.code == "fire-closer").unwrap();
        assert_eq!(finding.kind, crate::finding::Kind::Question);
        assert_eq!(finding.answers.len(), 2);
        let mut answers = Answers::new();
        answers.questions.insert(finding.id.clone(), Told::plain("Leave it out"));
        let answered = completed_by(RULES, text, &terms("ask"), &answers);
        assert!(answered.added.iter().all(|added| added.rule != "fire-closer"));
        answers.questions.insert(finding.id.clone(), Told::plain("perhaps"));
        let refused = completed_by(RULES, text, &terms("ask"), &answers);
        assert!(speaks(&refused, "answer-not-offered"));
    }
}
