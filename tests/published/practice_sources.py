"""Where the rules, the parts and the limits of water quality come from."""

from dataclasses import replace

from tests.published.row import Provenance, Source

D1785 = Source(
    title="ASTM D1785, Poly(Vinyl Chloride) Plastic Pipe, Schedules 40, 80 and 120",
    author="ASTM",
    year=None,
    locator="tables 1 and 2: outside diameters and walls, read in public listings; inside is outside less two walls",
    provenance=Provenance.FOUND,
    address="hitechsupports.com/size-chart/astm-d-1785-pipe",
)

D1785_AVERAGE = Source(
    title="Engineering Data Book (online edition), plastic PVC pipe",
    author="Hydraulic Institute",
    year=2024,
    locator="table 4.E, Schedule 40 with walls 1.03 times the least",
    provenance=Provenance.FOUND,
    address="datatool.pumps.org",
)

D2241 = Source(
    title="ASTM D2241, Poly(Vinyl Chloride) Pressure-Rated Pipe (SDR Series)",
    author="ASTM",
    year=None,
    locator="table 2; wall = outside / 21, not under 0.060 in.",
    provenance=Provenance.MEMORY,
)

D2239 = Source(
    title="ASTM D2239, Polyethylene Plastic Pipe (SIDR-PR) Based on Controlled Inside Diameter",
    author="ASTM",
    year=None,
    locator="table 1, inside diameters",
    provenance=Provenance.MEMORY,
)

TUBING_SIZES = Source(
    title="Trade sizes of microirrigation tubing",
    author=None,
    year=None,
    locator="no standard fixes them; a zone may state its own bore",
    provenance=Provenance.PRACTICE,
)

ROUGHNESSES = Source(
    title="Engineering Data Book (online edition), frictional losses for water",
    author="Hydraulic Institute",
    year=2024,
    locator="table 3.A.1, absolute roughness",
    provenance=Provenance.FOUND,
    address="datatool.pumps.org/fluid-flow-iii",
)

SMOOTHNESSES = Source(
    title="EPANET 2 user manual",
    author="L. A. Rossman and others, US EPA",
    year=None,
    locator="table of roughness coefficients for new pipe",
    provenance=Provenance.FOUND,
    address="github.com/USEPA/EPANET2.2, User_Manual/docs/3_network_model.rst",
)

NRCS_430HH = Source(
    title="Conservation Practice Standard 430HH, Rigid Gated Pipeline",
    author="USDA-NRCS",
    year=2002,
    locator="criteria, friction losses: C for plastic pipe",
    provenance=Provenance.FOUND,
    address="docsbay.net/irrigation-water-conveyance-430-hh",
)

KELLER_KARMELI_C = Source(
    title="Trickle Irrigation Design",
    author="J. Keller and D. Karmeli",
    year=1974,
    locator="C of laterals of 14-15, 18-19 and 25-27 mm",
    provenance=Provenance.MEMORY,
)

MINOR_LOSSES = replace(SMOOTHNESSES, locator="table of minor loss coefficients for selected fittings")

SCREWED_FITTINGS = Source(
    title="Engineering Data Book (online edition)",
    author="Hydraulic Institute",
    year=2024,
    locator="figure 3.B.1a, screwed fittings of 1 in.; read off a logarithmic chart, scatter 20 to 40 %",
    provenance=Provenance.FOUND,
    address="datatool.pumps.org/fluid-flow-iii",
)

EQUIVALENT_LENGTHS = Source(
    title="Technical Paper 410, Flow of Fluids",
    author="Crane Co.",
    year=None,
    locator="K = (L/D) f_T at complete turbulence, f_T of 1 in.",
    provenance=Provenance.MEMORY,
)

METERS = Source(
    title="ANSI/AWWA C700, Cold-Water Meters, Displacement Type",
    author="AWWA",
    year=None,
    locator="operating characteristics, read on public meter-sizing pages citing AWWA M22",
    provenance=Provenance.FOUND,
    address="projectcalc.app/water-meter-size-calculator",
)

TWO_INCH_METER = replace(METERS, locator="operating characteristics, 2 in.", provenance=Provenance.MEMORY, address="")

PASCO = Source(
    title="Pasco (Washington) Municipal Code",
    author=None,
    year=None,
    locator="13.30.110, sizes of meters",
    provenance=Provenance.FOUND,
    address="pasco.municipal.codes/PMC/13.30.110",
)

LANDSCAPE_RULE = Source(
    title="Rules of landscape design",
    author=None,
    year=None,
    locator="the 75 % and 10 % rules of meters, 60 psi for a regulator, lengths of laterals",
    provenance=Provenance.PRACTICE,
)

NRCS_430 = Source(
    title="Conservation Practice Standard 430, Irrigation Pipeline",
    author="USDA-NRCS",
    year=None,
    locator="velocity criterion for plastic pipe",
    provenance=Provenance.MEMORY,
)

SIEVES = Source(
    title="ASTM E11, Woven Wire Test Sieve Cloth",
    author="ASTM",
    year=None,
    locator="nominal openings",
    provenance=Provenance.MEMORY,
)

SIEVES_READ = replace(
    SIEVES,
    locator="nominal openings, rows read on a public page",
    provenance=Provenance.FOUND,
    address="conductscience.com/tools/mesh-to-micron-converter",
)

OLDER_SIEVES = Source(
    title="Particle size comparison chart",
    author=None,
    year=2013,
    locator="conversion table, an older series",
    provenance=Provenance.FOUND,
    address="paxaa.com/articles/105/Particle-size-comparison-chart",
)

TRADE_MESH = Source(
    title="Mesh to microns converter (article)",
    author=None,
    year=None,
    locator="conversion table; 150 is no number of the standard series",
    provenance=Provenance.FOUND,
    address="calculatorsconversion.com/en/mesh-to-microns-converter-2",
)

CLEMSON = Source(
    title="Landscape Irrigation Equipment Part 5: Filters and Pressure Regulators",
    author="B. Smith, Clemson Cooperative Extension",
    year=None,
    locator="fact sheet, screens of drip emitters",
    provenance=Provenance.FOUND,
    address="hgic.clemson.edu/factsheet/landscape-irrigation-equipment-part-5-filters-pressure-regulators",
)

FILTER_RULE = Source(
    title="National Engineering Handbook, trickle irrigation; Trickle Irrigation for Crop Production",
    author="USDA; F. S. Nakayama and D. A. Bucks",
    year=None,
    locator="filter opening over the smallest passage",
    provenance=Provenance.MEMORY,
)

FILTER_ARITHMETIC = Source(
    title="A tenth of the passage", author=None, year=None, locator="exact arithmetic", provenance=Provenance.DERIVED
)

VINEYARD = Source(
    title="Around the Vineyard: drip system evaluations, The Grapevine Magazine",
    author=None,
    year=2020,
    locator="May-June, page 40",
    provenance=Provenance.FOUND,
)

BUCKS_TABLE = Source(
    title="Trickle irrigation water quality and preventive maintenance, Agricultural Water Management 2, 149-162",
    author="D. A. Bucks, F. S. Nakayama and R. G. Gilbert",
    year=1979,
    locator="tentative classification, read in table 4 of an advisory page; that it is the article's is from memory",
    provenance=Provenance.FOUND,
)

PITTS_TABLE = Source(
    title="Testing the Irrigation Water Source",
    author="University of Florida IFAS, after D. J. Pitts 1990",
    year=None,
    locator="table 1; its severe cells of dissolved and suspended solids are printed swapped and are put right here",
    provenance=Provenance.FOUND,
    address="fawn.ifas.ufl.edu/tools/irrigation/citrus/maintenance/two",
)

REUSE_GUIDE = Source(
    title="Salinity Management Guide",
    author="WateReuse Foundation",
    year=None,
    locator="suspended solids",
    provenance=Provenance.FOUND,
    address="watereuse.org/salinity-management/ls/ls_3f6.html",
)

LANGELIER_EXAMPLE = Source(
    title="Langelier Index Calculation (drinking water at two temperatures)",
    author=None,
    year=None,
    locator="worked analysis, with its four terms and both indices",
    provenance=Provenance.FOUND,
    address="corrosion-doctors.org/Cooling-Water-Towers/Index-Lang-calcul.htm",
)

OPERATOR_TRAINING = Source(
    title="Saturation index sample problems (pool operator training)",
    author=None,
    year=None,
    locator="problems 1 to 3, by the table of factors",
    provenance=Provenance.FOUND,
    address="pooloperationmanagement.com/cpo/sample-problems/saturation-index",
)

FACTOR_TABLE = Source(
    title="The Langelier Index (table of factors)",
    author=None,
    year=None,
    locator="factors of calcium and alkalinity, rounded to one decimal",
    provenance=Provenance.FOUND,
    address="h2oblogged.wordpress.com/charts-calculators-indexes/the-langlier-index",
)

STANDARD_METHODS = Source(
    title="TM 5-813-3, Water Supply: Water Treatment",
    author="US Department of the Army, after Standard Methods for the Examination of Water",
    year=None,
    locator="table 2-5, the constant of dissolved solids",
    provenance=Provenance.FOUND,
    address="buildingcriteria1.tpub.com/ufc_3_230_08a/ufc_3_230_08a0034.htm",
)

EMISSION_FORMULA = Source(
    title="Trickle Irrigation Design",
    author="J. Keller and D. Karmeli",
    year=1974,
    locator="EU = 100 (1 - 1.27 Cv / √n) qmin / qavg, read on a question-and-answer page; numbers computed from it",
    provenance=Provenance.DERIVED,
)

EMISSION_EXAM = replace(
    EMISSION_FORMULA,
    title="Graduate Aptitude Test in Engineering, Agricultural Engineering",
    author=None,
    year=None,
    locator="question on pig-tail emitters, inputs read; the answer was cut off and is computed from the formula",
    address="saranextgen.com/homeworkhelp/doubts.php?id=156531",
)

NORMAL = Source(
    title="Normal distribution",
    author=None,
    year=None,
    locator="mean of the lowest quarter: φ(z) / 0.25 deviations below the mean",
    provenance=Provenance.DERIVED,
)

STATISTICAL_LINK = Source(
    title="EU = 100 - 1.27 (100 - Us)",
    author="V. F. Bralts and others",
    year=None,
    locator="exact arithmetic; reproduces the table of EP458",
    provenance=Provenance.DERIVED,
)

CATCH_CANS = Source(
    title="Catch-can test practice question",
    author=None,
    year=None,
    locator="worked explanation, low quarter 0.68 in. of 0.70 in.",
    provenance=Provenance.FOUND,
    address="wetsirrigationtech.passetra.com/question/how-is-distribution-uniformity-du-d2da1d753bdfa69b",
)

SIXTEEN = Source(
    title="Sixteen made-up flows",
    author=None,
    year=2026,
    locator="figures worked out from the definitions",
    provenance=Provenance.DERIVED,
)

EP405 = Source(
    title="EP405.1, Design and Installation of Microirrigation Systems",
    author="ASAE/ASABE",
    year=2003,
    locator="tables of manufacturing variation and of design emission uniformity",
    provenance=Provenance.MEMORY,
)

EP458 = Source(
    title="EP458, Field Evaluation of Microirrigation Systems",
    author="ASAE/ASABE",
    year=1996,
    locator="table comparing statistical and emission uniformity",
    provenance=Provenance.MEMORY,
)

WU_GITLIN = Source(
    title="Drip irrigation lateral design",
    author="I. P. Wu and H. M. Gitlin",
    year=None,
    locator="flow variation of 10 and 20 %",
    provenance=Provenance.MEMORY,
)

EMITTER_GROUPS = Source(
    title="Basic Hydraulics of Emitters in Drip System",
    author=None,
    year=None,
    locator="emitter groups a to d, exponents",
    provenance=Provenance.FOUND,
    address="agriinfo.in/default.aspx?page=topic&superid=8&topicid=2247",
)
