//! The prices of the search by name, so that they can be fitted from outside.

use std::collections::HashMap;

macro_rules! weights {
    ($($name:ident)*) => {
        /// Prices (minus log likelihoods) and limits of the search; what each is for stands in
        /// the file they are kept in.
        #[derive(Clone, Debug, Default, PartialEq)]
        #[allow(missing_docs)]
        pub struct Weights { $(pub $name: f32),* }

        impl Weights {
            /// The names, in the order of this file.
            pub const NAMES: &'static [&'static str] = &[$(stringify!($name)),*];

            /// The weights of a table by name.
            ///
            /// # Errors
            /// The first name that is missing, or that is none of these.
            pub fn read(table: &HashMap<String, f32>) -> Result<Self, String> {
                if let Some(name) = table.keys().find(|name| !Self::NAMES.contains(&name.as_str())) {
                    return Err(format!("'{name}' is no weight"));
                }
                let value = |name: &str| {
                    table.get(name).copied().ok_or_else(|| format!("the weight '{name}' is missing"))
                };
                Ok(Self { $($name: value(stringify!($name))?),* })
            }

            /// These weights with one of them, by its place in `NAMES`, moved by an amount.
            #[must_use]
            pub fn moved(&self, place: usize, by: f32) -> Self {
                let mut new = self.clone();
                let all = [$(&mut new.$name),*];
                if let Some(weight) = all.into_iter().nth(place) {
                    *weight += by;
                }
                new
            }
        }
    };
}

weights! {
    beam spread same_board siblings
    notation_aside notation_aside_reason
    full_reason_play full_reason_aside full_free_play full_free_aside full_aside full_aside_verb
    full_aside_bare
    placed_standing_play placed_play placed_aside
    square_standing_play square_told_aside square_play square_aside
    castling_aside castling_gerund_play castling_gerund_aside
    capture_gerund_play capture_gerund_aside capture_reason_play capture_reason_aside
    capture_target_aside capture_piece_aside capture_bare_play capture_bare_aside
    capture_person_aside
    trade_play trade_aside trade_gerund_aside
    vague_play vague_aside told_clause clause_usual
    branch echo_full echo_part
    supposed_play supposed_aside supposed_echo
    modal_play modal_branch modal_aside
    infinitive_play infinitive_branch infinitive_aside
    intent_play intent_branch intent_aside
    negated_play negated_branch negated_aside
    tells_aside paired_aside repeated_aside unreal_play
    instead_play instead_branch instead_aside
    back_aside after_echo played_echo cut
    skip_notation skip_full skip_placed skip_square skip_castling skip_capture skip_capture_piece
    skip_capture_bare skip_trade skip_vague skip_odd skip_odd_noisy skip_misheard
    stay_either stay_alternative stay_back stay_maybe_back stay_side_line stay_side_line_cued
    stay_mentioned stay_number
    leave_cued leave_mentioned_break leave_mentioned leave_supposed_break leave_supposed_pause
    leave_supposed_comma leave_supposed leave_shown_break leave_shown leave_deeper return_either
    earlier earlier_ply earlier_most earlier_most_break
    either_ply counted counted_ply counted_most alternative alternative_ply alternative_most
    back back_ply back_most listed_ply start start_ply number_back number number_wrong
    stranger replaced weak_side
    silent silent_noisy silent_usual silent_most hint hint_usual second second_usual second_most
    place_true place_before place_false place_false_short place_false_soft place_back
    strange_move strange_capture
    echo_age echo_age_most echo_silent echo_playable echo_number
    gone_back gone_main gone gone_age gone_before echo_back echo_maybe_back
    return_cued return_after return_uncued return_age return_depth
    slip slip_side slip_wing slip_alike slip_piece slip_capture slip_captured slip_rank slip_file
    slip_far
    piece_lost piece_lost_noisy piece_lost_clean free_pawn pawn_takes_unsaid takes_unsaid retakes retakes_late retakes_elsewhere
    not_back not_back_pawn not_home no_check
    usual_among usual_named usual_rare usual_slip
    book_power book_doubt book_most theme_share
    habit
    told_play told_aside told_echo told_skip told_stay told_leave told_parts told_parts_left told_parts_named stands_there cued_play cued_aside cued_skip
    noisy_aside noisy_skip noisy_usual noisy_rare words_price
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_must_have_every_name_and_no_other() {
        let whole: HashMap<String, f32> = Weights::NAMES
            .iter()
            .map(|name| ((*name).to_owned(), 1.5))
            .collect();
        assert!((Weights::read(&whole).unwrap().slip - 1.5).abs() < 1e-6);
        let mut short = whole.clone();
        short.remove("slip");
        assert!(
            Weights::read(&short)
                .unwrap_err()
                .contains("'slip' is missing")
        );
        let mut long = whole;
        long.insert("slop".to_owned(), 0.0);
        assert!(Weights::read(&long).unwrap_err().contains("'slop'"));
    }
}
