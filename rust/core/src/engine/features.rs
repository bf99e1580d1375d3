//! What the evaluation counts, each with its place in the list of weights.
//!
//! The tuner and the evaluation share this list; a feature is a number of times its weight (a
//! middlegame and an endgame score) is given to White, less the same for Black.

macro_rules! features {
    ($($(#[$doc:meta])* $name:ident: $count:expr;)*) => {
        features!(@step 0; $($(#[$doc])* $name: $count;)*);
        /// Name, first place and number of places of every feature.
        pub const GROUPS: &[(&str, usize, usize)] = &[$((stringify!($name), $name, $count)),*];
    };
    (@step $first:expr; $(#[$doc:meta])* $name:ident: $count:expr; $($rest:tt)*) => {
        $(#[$doc])* pub const $name: usize = $first;
        features!(@step $first + $count; $($rest)*);
    };
    (@step $first:expr;) => {
        /// Number of weights.
        pub const COUNT: usize = $first;
    };
}

features! {
    /// A piece of each role.
    MATERIAL: 6;
    /// Role by square as White sees it, files e to h folded onto d to a.
    PLACEMENT: 6 * 32;
    /// Knights by the number of squares they can go to.
    KNIGHT_MOBILITY: 9;
    /// Bishops by the number of squares they can go to.
    BISHOP_MOBILITY: 14;
    /// Rooks by the number of squares they can go to.
    ROOK_MOBILITY: 15;
    /// Queens by the number of squares they can go to.
    QUEEN_MOBILITY: 28;
    /// Both bishops.
    BISHOP_PAIR: 1;
    /// Own pawns on the bishop's colour.
    BISHOP_PAWNS: 1;
    /// Minor piece on a square no pawn can attack, supported by a pawn; knight, bishop.
    OUTPOST: 2;
    /// Minor piece shielded by a pawn in front of it.
    SHIELDED: 1;
    /// Rook on a file without pawns.
    ROOK_OPEN: 1;
    /// Rook on a file without own pawns.
    ROOK_HALF_OPEN: 1;
    /// Rook on the seventh with the king on the eighth or pawns on the seventh.
    ROOK_SEVENTH: 1;
    /// Pawn without own pawns beside it.
    ISOLATED: 1;
    /// The same on a file without enemy pawns.
    ISOLATED_OPEN: 1;
    /// Pawn behind another of its own.
    DOUBLED: 1;
    /// Pawn left behind that cannot advance safely.
    BACKWARD: 1;
    /// The same on a file without enemy pawns.
    BACKWARD_OPEN: 1;
    /// Pawn supported by a pawn, by rank.
    SUPPORTED: 8;
    /// Pawn beside a pawn, by rank.
    PHALANX: 8;
    /// Pawn that needs only outnumbered help to pass, by rank.
    CANDIDATE: 8;
    /// Passed pawn, by rank.
    PASSED: 8;
    /// Passed pawn with a free square in front, by rank.
    PASSED_FREE: 8;
    /// Passed pawn whose way the enemy does not attack, by rank.
    PASSED_SAFE: 8;
    /// Passed pawn supported by a pawn.
    PASSED_SUPPORTED: 1;
    /// Distance of the own king to the square in front of a passed pawn, times its progress.
    PASSED_OWN_KING: 1;
    /// Distance of the enemy king to that square, times its progress.
    PASSED_ENEMY_KING: 1;
    /// Rook behind an own passed pawn.
    PASSED_ROOK_BEHIND: 1;
    /// Passed pawn no king can catch while the enemy has no pieces.
    PASSED_RUNS: 1;
    /// Pawn attacks an enemy piece, by role.
    PAWN_ATTACKS: 6;
    /// Minor piece attacks an enemy man, by role.
    MINOR_ATTACKS: 6;
    /// Rook attacks an enemy man, by role.
    ROOK_ATTACKS: 6;
    /// Queen or king attack an undefended enemy man.
    LOOSE_ATTACKED: 1;
    /// Enemy piece attacked and not defended.
    HANGING: 1;
    /// A safe pawn step would attack a piece.
    STEP_ATTACKS: 1;
    /// Safe squares behind or beside the own pawns in the centre.
    SPACE: 1;
    /// Own pawn nearest in front of the king, by edge or centre file and rank (0: none).
    SHELTER: 4 * 8;
    /// Enemy pawn nearest in front of the king, by blocked or not and rank (0: none).
    STORM: 2 * 8;
    /// King on or beside a file without own pawns; without any pawns.
    KING_FILE: 2;
    /// Having the move.
    TEMPO: 1;
    /// Pawn that attacks a pawn, by rank.
    LEVER: 8;
    /// Pawn that can step to where it attacks a pawn, by rank.
    BREAK: 8;
    /// Pawn that faces an enemy pawn, by rank.
    RAM: 8;
}

/// What makes a king unsafe; the square of the weighted sum is taken off its side's score.
pub mod danger {
    /// Enemy attackers of the king's neighbourhood, by role.
    pub const ATTACKERS: usize = 0;
    /// Attacked squares next to the king.
    pub const ATTACKS: usize = 5;
    /// Attacked squares next to the king that only king or queen defend.
    pub const WEAK: usize = 6;
    /// Safe checks at hand by role (knight, bishop, rook, queen).
    pub const SAFE_CHECKS: usize = 7;
    /// Unsafe checks at hand.
    pub const UNSAFE_CHECKS: usize = 11;
    /// The attacker has no queen.
    pub const NO_QUEEN: usize = 12;
    /// Own men pinned to the king.
    pub const PINNED: usize = 13;
    /// Always.
    pub const BASE: usize = 14;
    /// Own knight beside the king.
    pub const KNIGHT_NEAR: usize = 15;
    /// Number of weights.
    pub const COUNT: usize = 16;
}
