"""The documents that the rows are taken from."""

from tests.published.row import Provenance, Source

ENGINEERING_DATA_BOOK = Source(
    title="Engineering Data Book (online edition), frictional losses for water",
    author="Hydraulic Institute",
    year=2024,
    locator="section III B, Schedule 40 steel (tables 1 to 31 of the printed book)",
    provenance=Provenance.FOUND,
    address="datatool.pumps.org/fluid-flow-iii",
)

WATER_TABLE = Source(
    title="Engineering Data Book (online edition), water properties",
    author="Hydraulic Institute",
    year=2024,
    locator="table 2.A.2, saturated liquid",
    provenance=Provenance.FOUND,
    address="datatool.pumps.org",
)

US_WATER_TABLE = Source(
    title="Water - Density, Viscosity, Specific Weight",
    author=None,
    year=None,
    locator="table in US units of a public engineering reference page",
    provenance=Provenance.FOUND,
    address="engineersedge.com/physics/water__density_viscosity_specific_weight_13146.htm",
)

TREATMENT_TABLE = Source(
    title="MWH's Water Treatment: Principles and Design, third edition",
    author="J. C. Crittenden and others",
    year=2012,
    locator="appendix C, table C-1, after Vennard and Street 1975",
    provenance=Provenance.FOUND,
    address="scribd.com/document/412128606",
)

REFERENCE_PAGE = Source(
    title="Hazen-Williams Friction Loss Equation (engineering reference page)",
    author=None,
    year=None,
    locator="worked example, 200 gpm in 3 in. polyethylene pipe",
    provenance=Provenance.FOUND,
    address="engineeringtoolbox.com/hazen-williams-water-d_797.html",
)

IAPWS_VISCOSITY = Source(
    title="Release on the IAPWS Formulation 2008 for the Viscosity of Ordinary Water Substance (R12-08)",
    author="IAPWS",
    year=2008,
    locator="table 4, verification values",
    provenance=Provenance.FOUND,
)

IAPWS_DERIVED = Source(
    title="IAPWS-95 density and R12-08 viscosity at 101 325 Pa, evaluated with the library chemicals",
    author="IAPWS",
    year=2008,
    locator="release equations",
    provenance=Provenance.DERIVED,
)

MOODY_EXAMPLE = Source(
    title="Fluid Mechanics",
    author="F. M. White, after L. F. Moody 1944",
    year=None,
    locator="example 6.7",
    provenance=Provenance.FOUND,
    address="coursehero.com/file/5650355",
)

WHITE_EXAMPLE = Source(
    title="Fluid Mechanics", author="F. M. White", year=None, locator="example 6.6", provenance=Provenance.MEMORY
)

WHITE_SMOOTH = Source(
    title="Fluid Mechanics",
    author="F. M. White",
    year=None,
    locator="section 6.6, smooth pipe",
    provenance=Provenance.MEMORY,
)

LAMINAR_LAW = Source(
    title="Engineering Data Book (online edition), frictional losses for water",
    author="Hydraulic Institute",
    year=2024,
    locator="equations 3.A.2 to 3.A.5, laminar flow",
    provenance=Provenance.FOUND,
    address="datatool.pumps.org/fluid-flow-iii",
)

LINDEBURG = Source(
    title="Civil Engineering Reference Manual",
    author="M. R. Lindeburg",
    year=None,
    locator="example 17.2 and appendix 17.B",
    provenance=Provenance.FOUND,
    address="github.com/cran/iemisc, inst/doc",
)

EMBRY = Source(
    title="Friction Loss Calculation Examples (vignette of a statistics package)",
    author="I. Embry",
    year=2023,
    locator="example 2, goal-seek answer",
    provenance=Provenance.FOUND,
    address="github.com/cran/iemisc, inst/doc/Friction_Loss_Calculation_Examples.R",
)

SWAMEE_JAIN_EXAMPLE = Source(
    title="colebrook (description of a Python package)",
    author=None,
    year=2019,
    locator="usage example",
    provenance=Provenance.FOUND,
    address="github.com/IMEConsultants/colebrook",
)

CHURCHILL = Source(
    title="Friction-factor equation spans all fluid-flow regimes, Chemical Engineering 84 (24), 91-92",
    author="S. W. Churchill",
    year=1977,
    locator="the equation, evaluated with the library fluids",
    provenance=Provenance.DERIVED,
)

UNIT_HEADLOSS = Source(
    title="Application of Hazen-Williams Equation: Calculating Unit Headloss",
    author=None,
    year=None,
    locator="homework exercise; weak source, inputs and answer only",
    provenance=Provenance.FOUND,
    address="mantrapaloalto.com/engineering/application-of-hazen-williams-equation-calculating-unit-headloss.html",
)

PVC_FLOW_SHEET = Source(
    title="PVC pipe water flow specification sheet",
    author="Plastic Pipe and Fittings Association",
    year=None,
    locator="Hazen-Williams formula in ft of water per 100 ft, as an engineering reference page prints it too",
    provenance=Provenance.FOUND,
    address="engineeringtoolbox.com/hazen-williams-water-d_797.html",
)

PVC_FLOW_DERIVED = Source(
    title="PVC pipe water flow specification sheet",
    author="Plastic Pipe and Fittings Association",
    year=None,
    locator="numbers computed from its Hazen-Williams formula",
    provenance=Provenance.DERIVED,
)

PE_HANDBOOK = Source(
    title="PE Civil Reference Handbook",
    author="NCEES",
    year=None,
    locator="section 6.3.1.3, as quoted by two public pages",
    provenance=Provenance.FOUND,
    address="fire.ezvirtualtools.com/calc/pipe-friction-loss.html",
)

KELLER_BLIESNER = Source(
    title="Sprinkle and Trickle Irrigation",
    author="J. Keller and R. D. Bliesner",
    year=1990,
    locator="chapter 8, friction equations",
    provenance=Provenance.MEMORY,
)

WATTERS_KELLER = Source(
    title="Trickle irrigation tubing hydraulics, ASAE paper 78-2015",
    author="G. Z. Watters and J. Keller",
    year=1978,
    locator="smooth plastic below 125 mm",
    provenance=Provenance.MEMORY,
)

WATTERS_KELLER_DERIVED = Source(
    title="Trickle irrigation tubing hydraulics, ASAE paper 78-2015",
    author="G. Z. Watters and J. Keller",
    year=1978,
    locator="numbers computed from J = 0.133 Q^1.75 / D^4.75",
    provenance=Provenance.DERIVED,
)

CHRISTIANSEN = Source(
    title="Irrigation by Sprinkling, California Agricultural Experiment Station Bulletin 670",
    author="J. E. Christiansen",
    year=1942,
    locator="reduction factor for multiple outlets",
    provenance=Provenance.MEMORY,
)

SUM_OF_POWERS = Source(
    title="Sum of powers: F = Σ k^m / N^(m+1), first outlet one spacing from the inlet",
    author=None,
    year=None,
    locator="definition of the reduction factor",
    provenance=Provenance.DERIVED,
)

JENSEN_FRATINI = Source(
    title="Adjusted F factors for sprinkler lateral design (first outlet at half a spacing)",
    author="M. E. Jensen and A. M. Fratini",
    year=1957,
    locator="F' = (2 N F - 1) / (2 N - 1); title from memory",
    provenance=Provenance.DERIVED,
)

NATIONAL_HANDBOOK_HALF = Source(
    title="National Engineering Handbook, section 15 chapter 11, Sprinkle Irrigation",
    author="USDA-SCS",
    year=1983,
    locator="table of F, first outlet at half a spacing",
    provenance=Provenance.MEMORY,
)

ANWAR = Source(
    title="Factor G for pipelines with equally spaced multiple outlets and outflow, J. Irrig. Drain. Eng. 125 (1)",
    author="A. A. Anwar",
    year=1999,
    locator="definition of G (from memory), values computed from it",
    provenance=Provenance.DERIVED,
)

LATERALS = Source(
    title="Lateral and subunit reference cases, solved by two other methods",
    author=None,
    year=2026,
    locator="shooting on the end head, and a root of all heads at once; they agree to twelve digits",
    provenance=Provenance.DERIVED,
)

LATERAL_RULE = Source(
    title="National Engineering Handbook, trickle irrigation; Sprinkle and Trickle Irrigation",
    author="USDA; J. Keller and R. D. Bliesner",
    year=None,
    locator="inlet head = mean head + 3/4 of the friction",
    provenance=Provenance.MEMORY,
)

FAO_MANUAL = Source(
    title="Irrigation Manual, volume IV, module 9: Localized Irrigation Systems",
    author="A. P. Savva and K. Frenken (FAO)",
    year=2002,
    locator="example 8, equation 15, on slides that reproduce it",
    provenance=Provenance.FOUND,
    address="scribd.com/presentation/472208369",
)

FAO_INVERSE = Source(
    title="Irrigation Manual, volume IV, module 9: Localized Irrigation Systems",
    author="A. P. Savva and K. Frenken (FAO)",
    year=2002,
    locator="equation 14 on the numbers of example 8",
    provenance=Provenance.DERIVED,
)

CAL_POLY_EXAM = Source(
    title="BRAE 340 Irrigation Water Management, examination 2",
    author="California Polytechnic State University",
    year=None,
    locator="emitter A",
    provenance=Provenance.FOUND,
)

EMITTER_ARITHMETIC = Source(
    title="q = q0 (p / p0)^x", author=None, year=None, locator="exact arithmetic", provenance=Provenance.DERIVED
)

HAWAII_BULLETIN = Source(
    title="Hydraulic Design of Drip Irrigation Systems, Hawaii Agricultural Experiment Station Technical Bulletin 105",
    author="I. P. Wu, T. A. Howell and E. A. Hiler",
    year=1979,
    locator="emitter flow variation: 1 - (1 - h)^x",
    provenance=Provenance.DERIVED,
)

ADJUSTED_GRADIENT = Source(
    title="National Engineering Handbook, trickle irrigation; Sprinkle and Trickle Irrigation",
    author="USDA; J. Keller and R. D. Bliesner",
    year=None,
    locator="J' = J (Se + fe) / Se; numbers made up for the arithmetic",
    provenance=Provenance.MEMORY,
)

LENGTH_AS_COEFFICIENT = Source(
    title="K = f fe / D", author=None, year=None, locator="exact arithmetic", provenance=Provenance.DERIVED
)

IRRIGATION_COURSE = Source(
    title="3.1 Creating Water Pressure (irrigation course page)",
    author=None,
    year=None,
    locator="derivation from 62.4 lb/ft³",
    provenance=Provenance.FOUND,
    address="a1133-27532357.cluster47.canvas-user-content.com/courses/1133~969642/files/1133~27532357",
)

MERKLEY_ALLEN = Source(
    title="Sprinkle and Trickle Irrigation Lectures",
    author="G. P. Merkley and R. G. Allen",
    year=2004,
    locator="page 7, units",
    provenance=Provenance.FOUND,
    address="coursehero.com/file/8778342",
)

VELOCITY_CONSTANT = Source(
    title="v = 0.4085 Q / d² (public fire-protection formula page)",
    author=None,
    year=None,
    locator="ft/s, gpm and in",
    provenance=Provenance.FOUND,
    address="fire.ezvirtualtools.com/calc/pipe-friction-loss.html",
)

FLUSHING_PAGE = Source(
    title="Flushing (Maintenance of Microirrigation Systems)",
    author="L. Schwankl, University of California ANR",
    year=None,
    locator="page 712",
    provenance=Provenance.FOUND,
    address="micromaintain.ucanr.edu/Solutions/know/Particulate_problems/Flushing_712",
)

CONTINUITY = Source(title="Q = v A", author=None, year=None, locator="exact arithmetic", provenance=Provenance.DERIVED)

INCHES_OF_A_GALLON = Source(
    title="231 in³ of a US gallon over the area of one outlet",
    author=None,
    year=None,
    locator="exact arithmetic from the definition of the gallon",
    provenance=Provenance.DERIVED,
)

DRIP_EVALUATION = Source(
    title="Calculation of drip application rate (Maintenance of Microirrigation Systems)",
    author="L. Schwankl, University of California ANR",
    year=None,
    locator="irrigation scheduling and plant water use, the factor of the formula",
    provenance=Provenance.FOUND,
    address="micromaintain.ucanr.edu/emClog/clogInfo/selfEval/calcEmissionUnif/Calculation",
)

TEACHING_MANUAL = Source(
    title="Irrigation: Principles and Practices (a manual for teaching farming and gardening)",
    author=None,
    year=None,
    locator="unit 1.5, appendix 13, page 262, sample of drip tape",
    provenance=Provenance.FOUND,
    address="issuhub.com/view/index?id=3560&pageIndex=276",
)

MILLIMETRES_OF_A_LITRE = Source(
    title="A litre on a square metre is a millimetre",
    author=None,
    year=None,
    locator="exact arithmetic",
    provenance=Provenance.DERIVED,
)

UNITS_GUIDE = Source(
    title="Guide for the Use of the International System of Units, Special Publication 811",
    author="A. Thompson and B. N. Taylor (NIST)",
    year=2008,
    locator="appendix B.8, conversion factors",
    provenance=Provenance.MEMORY,
)
