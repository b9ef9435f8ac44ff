//! Rows that a rule, a cue or a page asks for by name. The rows themselves are made of these names, so
//! that a name and its row cannot part.

/// "looked at, sound"
pub const SOUND: u8 = 0;
/// "sole ulcer"
pub const SOLE_ULCER: u8 = 13;
/// "bulb ulcer"
pub const BULB_ULCER: u8 = 14;
/// "toe ulcer"
pub const TOE_ULCER: u8 = 15;
/// "toe necrosis"
pub const TOE_NECROSIS: u8 = 16;
/// "white line abscess"
pub const WHITE_LINE_ABSCESS: u8 = 22;
/// "digital dermatitis"
pub const DIGITAL_DERMATITIS: u8 = 31;
/// "interdigital phlegmon"
pub const PHLEGMON: u8 = 34;
/// "swelling of coronet or bulb"
pub const SWELLING: u8 = 61;
/// "swelling above one claw only"
pub const SWELLING_OF_ONE_CLAW: u8 = 62;
/// "bone or joint in sight"
pub const BONE_OR_JOINT: u8 = 63;
/// "digit amputated"
pub const AMPUTATED: u8 = 64;
/// "pain when cut or pressed"
pub const PAIN: u8 = 71;
/// "corium exposed"
pub const CORIUM_EXPOSED: u8 = 72;
/// "claw cold when the block was glued"
pub const CLAW_COLD: u8 = 77;
/// "claw wet when the block was glued"
pub const CLAW_WET: u8 = 78;
/// The highest severity.
pub const SEVERE: u8 = 3;

/// "block glued on, the usual way"; the trial ways 1 to 9 follow it.
pub const BLOCK_USUAL: u8 = 10;
/// "left open"
pub const LEFT_OPEN: u8 = 20;
/// "wrap put on"
pub const WRAP_ON: u8 = 21;
/// "wrap taken off"
pub const WRAP_OFF: u8 = 22;
/// "trimmed to form"
pub const TRIMMED: u8 = 30;
/// "loose horn opened and removed"
pub const HORN_OPENED: u8 = 31;
/// "diseased claw lowered"
pub const CLAW_LOWERED: u8 = 32;
/// "looked at, not trimmed"
pub const NOT_TRIMMED: u8 = 33;
/// "block still on"
pub const BLOCK_STILL_ON: u8 = 40;
/// "block taken off by us"
pub const BLOCK_OFF: u8 = 41;
/// "block found lost"
pub const BLOCK_LOST: u8 = 42;
/// "block taken off: worn down"
pub const BLOCK_OFF_WORN: u8 = 43;
/// "block taken off: loose"
pub const BLOCK_OFF_LOOSE: u8 = 44;
/// "block taken off: twisted"
pub const BLOCK_OFF_TWISTED: u8 = 45;
/// "block taken off: claw sore"
pub const BLOCK_OFF_SORE: u8 = 46;
/// "block taken off: its work is done"
pub const BLOCK_OFF_DONE: u8 = 47;
/// "healed, sound horn over all of it"
pub const HEALED: u8 = 50;
/// "better"
pub const BETTER: u8 = 51;
/// "unchanged"
pub const UNCHANGED: u8 = 52;
/// "worse"
pub const WORSE: u8 = 53;
/// "cleaned"
pub const CLEANED: u8 = 60;
/// "vet to see"
pub const VET_TO_SEE: u8 = 80;
/// "vet now"
pub const VET_NOW: u8 = 81;
/// "see again"
pub const SEE_AGAIN: u8 = 82;
/// "vet has seen her"
pub const VET_HAS_SEEN: u8 = 83;
/// "look at this cow in the office"
pub const LOOK_IN_OFFICE: u8 = 90;
/// "washed, gloves and knives changed"
pub const WASHED: u8 = 91;

/// "dorsal wall length"
pub const DORSAL_WALL: u8 = 1;
/// "heel height"
pub const HEEL_HEIGHT: u8 = 2;
/// "toe height"
pub const TOE_HEIGHT: u8 = 5;
/// "horn regrown"
pub const REGROWN: u8 = 7;
/// "lesion length"
pub const LESION_LENGTH: u8 = 8;
/// "lesion width"
pub const LESION_WIDTH: u8 = 9;
