//! What every reader must know.

/// What no run knows.
pub const LIMITS_OF_THE_MODEL: &str = "Model: a Newtonian liquid without foam in lines as \
    long and as rough as stated; new-tip tables; loss coefficients good to 30 to 40 % unless measured. A \
    gauge and a catch test decide.";
/// Cautions of every run.
pub const CAUTION: &str = "Caution: these figures are no permission to spray. The product label and local \
    rules decide; relieve pressure before opening a line and wear the protection the label asks for.";

/// What is said wherever a purge is told in short.
pub const PURGE_IS_UNCERTAIN: &str = "Purge: what stays in the lines is uncertain by a factor of two to three, since \
    no measurement on a boom was found. Collect what returns and weigh it.";

/// What is said wherever purges are set beside each other; the report of one says more.
pub const AIR_CAUTION: &str = "Compressed air and pesticide hurt people: eye protection, a relief valve, parts \
    rated for air; the product label, local rules and a licensed person decide.";

/// What is not drawn, wherever bands are shown.
pub const NOT_DRAWN: &str = "Not drawn: tips that differ from each other, leaks, blockages, mistakes of whoever fits or reads. Bands are \
    of machines as this scenario describes them.";
