"""Worked examples that were read in full, and where."""

from tests.published.row import Provenance, Source

CRANE_PLASTIC = Source(
    title="Technical Paper 410, Flow of Fluids: example 7-1",
    author="Crane Co.",
    year=None,
    locator="smooth plastic pipe; question and printed answer as quoted in the documentation of a library, fluids",
    provenance=Provenance.FOUND,
    address="github.com/CalebBell/fluids, docs/Examples/Crane TP 410 Solved Problems/7.1 Smooth Pipe (Plastic).ipynb",
)

CRANE_PUMPING = Source(
    title="Technical Paper 410, Flow of Fluids: example 7-15",
    author="Crane Co.",
    year=None,
    locator="power required for pumping; as quoted in the documentation of a library, fluids",
    provenance=Provenance.FOUND,
    address="github.com/CalebBell/fluids, docs/Examples/Crane TP 410 Solved Problems/7.15 Power Required for "
    "Pumping.ipynb",
)

OIL_LINES = Source(
    title="Friction Loss Calculation Examples (vignette of a statistics package)",
    author="I. Embry",
    year=2023,
    locator="two lines of cast iron, given with their head losses",
    provenance=Provenance.FOUND,
    address="github.com/cran/iemisc, inst/doc/Friction_Loss_Calculation_Examples.R",
)

LAMINAR_EXAM = Source(
    title="Graduate Aptitude Test in Engineering, Civil Engineering",
    author=None,
    year=2017,
    locator="question 149, answer 65 to 69, solution 66.1 m",
    provenance=Provenance.FOUND,
    address="gate-exam.in/CE/Civil-GATE-2017-Question-149",
)

PARALLEL_EXAM = Source(
    title="Engineering Services Examination, Civil Engineering: pipes in parallel",
    author=None,
    year=None,
    locator="three identical pipes between two reservoirs; worked solution",
    provenance=Provenance.FOUND,
    address="testbook.com/question-answer/three-identical-pipes-of-lengh-l-diameter-d-and-f--5afd7690cebfd10dc37ffab3",
)

MAURER = Source(
    title="hydraulics: basic pipe hydraulics (description of a statistics package)",
    author="E. Maurer",
    year=None,
    locator="problems of type 1 and 2, with their printed results",
    provenance=Provenance.FOUND,
    address="github.com/EdM44/hydraulics, README.md",
)

PUMPED_NETWORK = Source(
    title="Head Loss Calculation in Pipe Network System",
    author=None,
    year=None,
    locator="multiple-choice exercise, 'most nearly 15'; weak source, inputs and answer only",
    provenance=Provenance.FOUND,
    address="madlabcreamery.com/engineering/head-loss-calculation-in-pipe-network-system.html",
)

FLOW_TEST = Source(
    title="Understanding flow test results",
    author=None,
    year=None,
    locator="formula of the rated capacity, with the exponent 0.54. Its own example prints 3^0.54 as 1.78; it is 1.81, "
    "and that is taken",
    provenance=Provenance.DERIVED,
    address="wiki.unified-apps.com/hydrants/understanding-flow-test-results",
)

SPRINKLER_SUPPLY = Source(
    title="SP-11, NFPA 13 Hydraulic Calculations (slides of a course)",
    author="I. Kapaczynski",
    year=None,
    locator="flow test of a water main, drawn on the graph of the exponent 1.85 and read off it",
    provenance=Provenance.FOUND,
    address="vi.scribd.com/document/212497158",
)

LOOPED_NETWORK = Source(
    title="Pipe Network Analysis (The Chemical Engineer's Guide)",
    author=None,
    year=2015,
    locator="table of the first iteration: flow, length, bore, relative roughness and loss of ten cast-iron pipes",
    provenance=Provenance.FOUND,
    address="scribd.com/document/485045475",
)

JEPPSON = Source(
    title="Programs of Steady Flow Analysis of Pipe Networks",
    author="R. Apthorpe, after R. W. Jeppson 1974",
    year=None,
    locator="input and reference output of the programs of chapters 2, 5, 6 and 7; what the programs print, not the "
    "manual's own page",
    provenance=Provenance.FOUND,
    address="github.com/apthorpe/jeppson-python, tests/test_ch2, test_ch5, test_ch6b, test_ch7",
)

JEPPSON_HEADS = Source(
    title=JEPPSON.title,
    author=JEPPSON.author,
    year=None,
    locator="input and reference output of the program of chapter 6 that solves for heads. The flows printed beside "
    "them do not follow from the losses nor sum to the demands, the losses do; so losses are taken",
    provenance=Provenance.FOUND,
    address="github.com/apthorpe/jeppson-python, tests/test_ch6a",
)

IN_SERIES = Source(
    title="Water supply and urban drainage, tutorial on pipe flow",
    author="Wolaita Sodo University, College of Engineering",
    year=None,
    locator="question 1, the elevation of the lower reservoir; friction factors read off Moody's diagram",
    provenance=Provenance.FOUND,
    address="scribd.com/document/604399231",
)

VALVE_EXAMPLE = Source(
    title="What is the Cv flow coefficient? (engineering reference page)",
    author=None,
    year=None,
    locator="worked example, and Cv of Kv",
    provenance=Provenance.FOUND,
    address="calculatorlib.com/cv-flow-calculator",
)

VALVE_TABLE = Source(
    title="Cv to pressure drop (engineering reference page)",
    author=None,
    year=None,
    locator="table of pressure drops at 10 gpm of water",
    provenance=Provenance.FOUND,
    address="calculator.academy/cv-to-pressure-drop-calculator",
)

CITRUS_HYDRAULICS = Source(
    title="Hydraulic Considerations for Citrus Microirrigation Systems (CH156)",
    author="B. Boman and S. Shukla, University of Florida IFAS",
    year=None,
    locator="hydraulic principles, weight of water",
    provenance=Provenance.FOUND,
    address="edis.ifas.ufl.edu/CH156",
)
