//! Every source of the table, once.

use super::source::Source;

// Fluids
pub(crate) const IAPWS_95: Source = Source::standard(
    "IAPWS-95",
    "IAPWS R6-95, thermodynamic properties of ordinary water; evaluated with two open libraries that agree to 1e-12",
);
pub(crate) const IAPWS_VISCOSITY: Source = Source::standard(
    "IAPWS R12-08",
    "IAPWS R12-08, viscosity of ordinary water; evaluated with the same two libraries",
);

pub(crate) const CHAPLIN: Source = Source::open_data(
    "Chaplin",
    "M. Chaplin, *Water Structure and Science*, table of physical properties of water, open page",
);
pub(crate) const CRITICAL_TABLES: Source = Source::handbook(
    "Critical Tables 1928",
    "International Critical Tables (1928, 1929), density and viscosity of water, as an encyclopedia reprints them",
);

// Lines, parts, networks
pub(crate) const COLEBROOK: Source =
    Source::paper("Colebrook 1939", "C. F. Colebrook, J. ICE 11:133 (1939)");
pub(crate) const FLUIDS: Source = Source::library(
    "fluids 1.3.1",
    "C. Bell, `fluids`, open library of equations of flow, version 1.3.1",
);
pub(crate) const SCIPY: Source = Source::library(
    "SciPy",
    "general-purpose root finding and integration of SciPy on the equations written out apart",
);
pub(crate) const TP_410: Source = Source::handbook(
    "TP-410",
    "*Flow of Fluids*, Technical Paper 410 (2009), examples as restated with their answers in the documentation of `fluids`",
);
pub(crate) const CENGEL: Source = Source::handbook(
    "Cengel & Cimbala",
    "Y. Cengel & J. Cimbala, *Fluid Mechanics: Fundamentals and Applications*, ch. 8, examples as restated with their answers in an open collection",
);
pub(crate) const MAURER: Source = Source::handbook(
    "Maurer 2022",
    "E. Maurer, *Hydraulics and Water Resources: Examples Using R* (2022), open textbook",
);
pub(crate) const WHITE: Source =
    Source::handbook("White", "F. M. White, *Fluid Mechanics*, examples 6.16 to 6.18");
pub(crate) const POISEUILLE: Source =
    Source::analytic("Hagen-Poiseuille", "laminar flow in a round line, 64/Re");
pub(crate) const CHURCHILL: Source = Source::paper(
    "Churchill 1977",
    "S. W. Churchill, Chem. Eng. 84(24):91 (1977), as `fluids` has it",
);
pub(crate) const HAALAND: Source = Source::paper(
    "Haaland 1983",
    "S. E. Haaland, J. Fluids Eng. 105:89 (1983), formula read in Maurer 2022",
);
pub(crate) const SWAMEE_JAIN: Source = Source::paper(
    "Swamee & Jain 1976",
    "P. K. Swamee & A. K. Jain, J. Hydraul. Div. ASCE 102:657 (1976), formula read in Maurer 2022",
);
pub(crate) const BLASIUS: Source =
    Source::paper("Blasius 1913", "H. Blasius (1913), 0.3164 Re^-0.25 in smooth lines");
pub(crate) const WEISBACH: Source =
    Source::analytic("Weisbach", "loss as a coefficient times velocity head, any textbook");
pub(crate) const SIDE_BY_SIDE: Source =
    Source::analytic("Pipes side by side", "equal length and friction factor: flow with bore^2.5");
pub(crate) const JUNCTION: Source = Source::analytic(
    "Balance at a junction",
    "flows into a junction add to nothing, each by Darcy and Weisbach",
);
pub(crate) const GARDEL: Source =
    Source::paper("Gardel 1957", "A. Gardel, Bull. Tech. Suisse Rom. 83:123, 143 (1957)");
pub(crate) const IEC_60534: Source = Source::standard(
    "IEC 60534",
    "IEC 60534-2-1, flow capacity of control valves: Kv; definition read in secondary pages",
);
pub(crate) const TORRICELLI: Source =
    Source::analytic("Orifice equation", "Cd A sqrt(2 dp / rho), any textbook");
pub(crate) const BERNOULLI: Source = Source::analytic("Bernoulli", "total head along a streamline");

// Laterals
pub(crate) const CHRISTIANSEN: Source = Source::paper(
    "Christiansen 1942",
    "J. E. Christiansen, *Irrigation by Sprinkling*, Calif. AES Bull. 670 (1942)",
);
pub(crate) const KELLER_BLIESNER: Source = Source::handbook(
    "Keller & Bliesner 1990",
    "J. Keller & R. D. Bliesner, *Sprinkle and Trickle Irrigation* (1990): inlet = mean + 3/4 of the friction",
);
pub(crate) const OUTLET_SUMS: Source = Source::analytic(
    "Outlet sums",
    "sum of k^m over outlets: losses of even outlets, piece by piece",
);

// Tips and rates
pub(crate) const ISO_10625: Source = Source::standard(
    "ISO 10625",
    "ISO 10625, colour coding of tips; nominal flows at 3 bar, 01 to 08 read on open pages, the rest from memory",
);
pub(crate) const ISO_5682: Source = Source::standard(
    "ISO 5682",
    "ISO 5682-1, tests of nozzles: flow with the square root of pressure; scope read",
);
pub(crate) const DENSITY_FACTORS: Source = Source::open_data(
    "Density factors",
    "extension tables of the University of Nebraska (2016) and Oklahoma State University: flow of liquids by density",
);
pub(crate) const CORNELL: Source =
    Source::handbook("Cornell 2024", "Cornell pest management guidelines, 7.6 (2024), calibration");
pub(crate) const OKLAHOMA_CALIBRATION: Source =
    Source::handbook("Oklahoma State", "Oklahoma State University Extension, sprayer calibration");
pub(crate) const RATE_FORMULA: Source =
    Source::analytic("Rate by units", "L/min = L/ha * km/h * m / 600");

// Pumps
pub(crate) const AFFINITY: Source =
    Source::analytic("Affinity laws", "flow with speed, head with its square");
pub(crate) const ISO_9906: Source = Source::standard(
    "ISO 9906",
    "ISO 9906, tests of pumps: suction head available; definition read in secondary pages",
);

// Unsteady flow
pub(crate) const BITTLE: Source =
    Source::handbook("Bittle", "I. Bittle, *Fluids*, ch. 17, open textbook");
pub(crate) const ODE_SOLVERS: Source = Source::library(
    "ode_solvers",
    "`ode_solvers` 0.6, open library: Dormand & Prince's methods of orders 5 and 8, with error control",
);
pub(crate) const WYLIE_STREETER: Source = Source::handbook(
    "Wylie & Streeter 1993",
    "E. B. Wylie & V. L. Streeter, *Fluid Transients in Systems* (1993): equation of a rigid column",
);
pub(crate) const BOYLE: Source = Source::analytic(
    "Boyle",
    "pressure times volume of air at one temperature, with the weight of the column",
);
pub(crate) const COLUMN: Source = Source::analytic(
    "Column that lengthens",
    "equation of motion of a rigid column with friction and losses by Darcy and Weisbach",
);
pub(crate) const MASSEY: Source = Source::handbook(
    "Massey & Ward-Smith",
    "solved example of a power failure, read on an open page whose numbering is that of B. Massey & J. Ward-Smith, *Mechanics of Fluids*, ch. 12",
);

// Transport
pub(crate) const HARMONIC: Source =
    Source::analytic("Harmonic sums", "plug flow past even outlets: (A s/q) sum of 1/(n - j)");
pub(crate) const DANCKWERTS: Source = Source::paper(
    "Danckwerts 1953",
    "P. V. Danckwerts, Chem. Eng. Sci. 2:1 (1953), and O. Levenspiel, *Chemical Reaction Engineering*: laminar convection",
);
pub(crate) const OGATA_BANKS: Source =
    Source::paper("Ogata & Banks 1961", "A. Ogata & R. B. Banks, USGS Prof. Paper 411-A (1961)");
pub(crate) const WEN_FAN: Source = Source::handbook(
    "Wen & Fan 1975",
    "C. Y. Wen & L. T. Fan, *Models for Flow Systems and Chemical Reactors* (1975), fit of measured dispersion; coefficients read in open teaching code",
);
pub(crate) const DILUTION: Source =
    Source::analytic("Dilution", "a well-mixed tank: exp(-q t/V), and V/(V + W) for a portion");
pub(crate) const STIRRED: Source = Source::analytic(
    "Stirred tank",
    "balance of a well-stirred tank, O. Levenspiel, *Chemical Reaction Engineering*",
);
pub(crate) const CELLS: Source = Source::analytic(
    "Chain of cells",
    "cells beside a stream, by the matrix exponential; how fast they exchange is an assumption",
);

// Settling
pub(crate) const STOKES: Source =
    Source::paper("Stokes 1851", "G. G. Stokes (1851), falling spheres");
pub(crate) const RICHARDSON_ZAKI: Source = Source::paper(
    "Richardson & Zaki 1954",
    "J. F. Richardson & W. N. Zaki, Trans. IChemE 32:35 (1954); law and exponent read in secondary pages",
);
pub(crate) const CIRCLES: Source =
    Source::analytic("Circle geometry", "segments and overlaps of circles");
pub(crate) const OROSKAR_TURIAN: Source = Source::paper(
    "Oroskar & Turian 1980",
    "A. R. Oroskar & R. M. Turian, AIChE J. 26:550 (1980), constants read in open code after A. Poloski and others, PNNL WTP-RPT-175 (2009)",
);

// Air
pub(crate) const ISO_6358: Source = Source::standard(
    "ISO 6358",
    "ISO 6358-1, air through components: sonic conductance and critical ratio; flow functions read second-hand",
);
pub(crate) const ESPOSITO: Source = Source::handbook(
    "Esposito",
    "A. Esposito, *Fluid Power with Applications* (6th ed., 2005), examples as restated with method and answer in an open \
     collection",
);
pub(crate) const ISENTROPIC: Source =
    Source::analytic("Isentropic flow", "ideal gas without friction, heat ratio 1.4");
pub(crate) const AERONAUTICAL_DATA: Source = Source::handbook(
    "Aeronautical data",
    "*Aeronautical Engineer's Data Book*, tables A4.1 and A4.2: isentropic flow, k 1.4, read on open pages",
);
pub(crate) const STANDARD_ATMOSPHERE: Source = Source::standard(
    "US Standard Atmosphere 1976",
    "U.S. Standard Atmosphere (1976), as open tables print it, and as the library `fluids` computes it",
);
pub(crate) const GAS_LINE: Source =
    Source::analytic("Isothermal gas line", "p1^2 - p2^2 over R T (f L/D + K + 2 ln(p1/p2))");
pub(crate) const GAS_VELOCITY: Source =
    Source::analytic("Isothermal choking", "velocity at the end of a line: root of R T");
pub(crate) const FARRELL: Source = Source::open_data(
    "Farrell 2025",
    "A. E. Farrell, vessel blow-down of ideal gases, open article (2025): closed forms, evaluated",
);
pub(crate) const ISO_1217: Source = Source::standard(
    "ISO 1217",
    "ISO 1217, compressors: free air delivery; definition read in secondary pages",
);
pub(crate) const EXPANSION: Source =
    Source::analytic("Work of expansion", "air expanding at one temperature");

// Air and liquid
pub(crate) const THOMAS: Source = Source::paper(
    "Thomas 1979",
    "A. D. Thomas, Int. J. Multiphase Flow 5:113 (1979), fine particles below the sublayer",
);
pub(crate) const TAITEL_DUKLER: Source =
    Source::paper("Taitel & Dukler 1976", "Y. Taitel & A. E. Dukler, AIChE J. 22:47 (1976)");
pub(crate) const BUTTERWORTH: Source = Source::paper(
    "Butterworth 1975",
    "D. Butterworth, Int. J. Multiphase Flow 1:845 (1975), fit of Lockhart & Martinelli's curve of 1949",
);
pub(crate) const DOMANSKI_DIDION: Source = Source::paper(
    "Domanski & Didion 1983",
    "P. Domanski & D. Didion, *Computer Modeling of the Vapor Compression Cycle* (1983): holdup, credited to G. B. Wallis; \
     formula read in the documentation of the library `fluids`",
);
pub(crate) const LOCKHART_MARTINELLI: Source = Source::paper(
    "Lockhart & Martinelli 1949",
    "R. W. Lockhart & R. C. Martinelli, Chem. Eng. Prog. 45:39 (1949), formula read in the documentation of the library `fluids`",
);
pub(crate) const MUKHERJEE_BRILL: Source = Source::paper(
    "Mukherjee & Brill 1983",
    "H. Mukherjee & J. P. Brill, J. Petrol. Technol. 35:1003 (1983), fig. 7, curves of a fit to some 1500 measured \
     holdups, as the tests of an open package read them to 0.05",
);
pub(crate) const CHISHOLM: Source =
    Source::paper("Chisholm 1967", "D. Chisholm, Int. J. Heat Mass Transfer 10:1767 (1967)");
pub(crate) const AUSSILLOUS_QUERE: Source = Source::paper(
    "Aussillous & Quere 2000",
    "P. Aussillous & D. Quere, Phys. Fluids 12:2367 (2000), formula read second-hand",
);
pub(crate) const BRETHERTON: Source =
    Source::paper("Bretherton 1961", "F. P. Bretherton, J. Fluid Mech. 10:166 (1961)");
pub(crate) const TAYLOR_1961: Source = Source::paper(
    "Taylor 1961",
    "G. I. Taylor, J. Fluid Mech. 10:161 (1961): liquid left on the wall of a tube",
);
pub(crate) const FAIRBROTHER_STUBBS: Source = Source::paper(
    "Fairbrother & Stubbs 1935",
    "F. Fairbrother & A. E. Stubbs, J. Chem. Soc. 527 (1935)",
);
pub(crate) const HAN_SHIKAZONO: Source = Source::paper(
    "Han & Shikazono 2009",
    "Y. Han & N. Shikazono, Int. J. Heat Fluid Flow 30:842 (2009), formula read in an open program",
);
pub(crate) const BENDIKSEN: Source =
    Source::paper("Bendiksen 1984", "K. H. Bendiksen, Int. J. Multiphase Flow 10:467 (1984)");
pub(crate) const WEBER: Source = Source::paper(
    "Weber 1981",
    "M. E. Weber, Can. J. Chem. Eng. 59:398 (1981), a fit to the measurements of E. E. Zukoski, J. Fluid Mech. 25:821 (1966)",
);
pub(crate) const IAPWS_SURFACE: Source =
    Source::standard("IAPWS R1-76", "IAPWS R1-76, surface tension of ordinary water");
pub(crate) const BENJAMIN: Source =
    Source::paper("Benjamin 1968", "T. B. Benjamin, J. Fluid Mech. 31:209 (1968)");
pub(crate) const GREGORY_SCOTT: Source = Source::paper(
    "Gregory & Scott 1969",
    "G. A. Gregory & D. S. Scott, AIChE J. 15:933 (1969), coefficient read in the documentation of `fluids`",
);
pub(crate) const NICKLIN: Source = Source::paper(
    "Nicklin 1962",
    "D. J. Nicklin, J. O. Wilkes & J. F. Davidson, Trans. Inst. Chem. Eng. 40:61 (1962), coefficients read in the documentation of `fluids`",
);
pub(crate) const JEFFREYS: Source = Source::paper(
    "Jeffreys 1930",
    "H. Jeffreys, Proc. Camb. Phil. Soc. 26:204 (1930): draining film",
);
pub(crate) const LUBRICATION: Source = Source::analytic(
    "Lubrication theory",
    "laminar film: drag G D^2 H^2/(32 mu), weight rho g D^2 H^3/(48 mu)",
);
pub(crate) const RAREFACTION: Source =
    Source::analytic("Rarefaction", "kinematic wave of a layer that thins, flux c H^p");
pub(crate) const WALLIS_1969: Source = Source::handbook(
    "Wallis 1969",
    "G. B. Wallis, *One-dimensional Two-phase Flow* (1969): j* = 1",
);
pub(crate) const TURNER_1969: Source = Source::paper(
    "Turner 1969",
    "R. G. Turner and others, J. Petrol. Technol. 21:1475 (1969): drops carried up",
);
pub(crate) const CORROSION_HANDBOOK: Source = Source::handbook(
    "Corrosion handbook",
    "*Corrosion Engineering: Principles and Practice*, ch. 12: critical slope of wet gas lines",
);
pub(crate) const WEDGE: Source = Source::analytic(
    "Wedge",
    "liquid under a level surface in a sloping round line: pi D^3/(8 tan)",
);

// Purge
pub(crate) const RIGID_COLUMN: Source = Source::analytic(
    "Rigid column",
    "column that shortens under constant pressure, own closed form, or integrated apart from the product",
);
pub(crate) const FRONT_BALANCE: Source = Source::analytic(
    "Balance over a front",
    "a front C0 times as fast as the liquid leaves 1 - 1/C0",
);
pub(crate) const LAANEARU: Source = Source::paper(
    "Laanearu 2012",
    "J. Laanearu and others, J. Hydraul. Eng. 138(12):1090 (2012); abstract read, sizes from memory",
);
