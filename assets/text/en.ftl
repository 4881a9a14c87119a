# Every text of the interface. Ids: screen or topic, then what it is.

app-name = Jarlight
labels-left-out =
    { $n ->
        [one] { $n } label left out
       *[other] { $n } labels left out
    }

## Grades and urgency
grade-0 = none
grade-1 = trace
grade-2 = slight
grade-3 = moderate
grade-4 = heavy
grade-5 = extreme
urgency-note = Note
urgency-watch = Watch
urgency-arrange = Arrange
urgency-prompt = Prompt
urgency-halt = Halt

## Scenarios: options and feedback
option-normal = Nothing is wrong: this is normal
option-no-cause = No cause: nothing is wrong
option-no-age = Does not apply: nothing is wrong
option-cannot-tell = This cannot be told from this picture
option-none-missing = None of these is missing
age-under = under { $to }
age-between = { $from } to { $to }
age-over = over { $from }
answer-nowhere = beside everything
answer-nothing = nothing
answer-joined = { $a }, { $b }
feedback-right-is = The right answer is: { $right }.
feedback-healthy = This is how a healthy cell looks. Learn its range, so that you can tell what leaves it.
feedback-part-tell = { $name }: { $tell }
feedback-not-this = { $name } is another answer than the one that fits here. The right one is: { $right }.
feedback-age-young = That is too young. { $clock }
feedback-age-old = That is too old. { $clock }
feedback-age-none = Something is wrong here, so it has an age.
feedback-age-normal = Nothing is wrong here, so nothing has begun.
feedback-cause-normal = What is shown is normal, so there is no cause to look for.
feedback-cause-some = What is shown has a cause. { $what }
feedback-missed = The cell is not normal. { $see }
word-almost-certain = almost certain
word-likely = likely
word-possible = possible
word-unlikely = unlikely
word-hardly = hardly
began-between = began between { $from } and { $to } ago

## Terminal
check-files =
    { $n ->
        [one] { $n } file checked
       *[other] { $n } files checked
    }
errors =
    { $n ->
        [one] { $n } error
       *[other] { $n } errors
    }
warnings =
    { $n ->
        [one] { $n } warning
       *[other] { $n } warnings
    }
no-window = error: { $why }; the terminal commands need no window: jarlight check, draw, explain, explain-code (see jarlight --help)
no-window-display = no display is available (neither DISPLAY nor WAYLAND_DISPLAY is set)
no-window-display-answers = the display does not answer
no-window-built = this jarlight was built without its window
no-window-opened = the window cannot be opened: { $cause }

## Figures
figure-title-edge = Edge view
figure-title-face = Face view
figure-title-plan = Plan view
figure-title-peeled = The element, drawn apart
figure-title-row = Neighbours in series
figure-title-rack = Rack
figure-design = { $design }: { $positives } positive and { $negatives } negative plates
figure-from-edge = seen from the aisle, front jar wall removed
figure-from-face = seen from the neighbouring cell, flat on the end plate
figure-from-plan = seen from above, with its neighbours
figure-from-peeled = seen obliquely, layer by layer
figure-from-row = seen from the aisle, with its neighbours
figure-from-rack = seen from the aisle, on its rack
figure-healthy = A healthy cell.
figure-shown = Shown: { $list }. How conditions look and grow is an estimate.
figure-condition = { $name }, { $grade }
figure-true-scale = True to scale: print it at 100 %, and a millimetre of the cell is a millimetre on paper.
figure-detail-title = Cut through the top corner
figure-detail-note-tubular = in each sleeve lie brown mass and a lead spine; sizes in mm
figure-detail-note-plante = between the ribs stands a web of lead; sizes in mm
figure-detail-note = inside the border lie paste and wires; sizes in mm

## Cards that hang in a picture
sign-equalise = EQUALISE, 6 h
sign-float = FLOAT
sign-tested = 1 day after test

## Sheets of several pictures
sheet-normal = Normal
sheet-affected = Affected
sheet-new = new
sheet-stretched = Widths are drawn { $times } times as large as heights, so that a bend can be seen.
sheet-elsewhere = { $name }, at another place
sheet-years = From new to 20 years at 25 °C, each picture through the same window.
sheet-shows = Shown as far as time tells how much there is: { $list }.
sheet-estimate = How conditions look and grow is an estimate. Grade is how far it has gone, not how urgent it is.
sheet-designs = Designs
sheet-designs-count = { $count } drawings: every design from every side in every theme.
sheet-atlas-top = Atlas: cover top and vents
sheet-atlas-seals = Atlas: seals
sheet-atlas-plates = Atlas: plates, straps and separators
sheet-atlas-bottom = Atlas: floor of the jar
sheet-atlas-acid = Atlas: liquid and gas
sheet-atlas-connections = Atlas: connections
sheet-atlas-rack = Atlas: rack and order of cells
sheet-atlas-shell = Atlas: jar walls

## Window: bar, pages, look
page-start = Start page
page-study = Study
page-questions = Questions
page-atlas = Atlas
theme-light = Light
theme-dark = Dark
theme-contrast = High contrast
text-larger = Larger text
text-smaller = Smaller text
help-open = Help
help-key = F1
notice-close = Close
notice-not-kept = Answers are not being kept: the records cannot be written. You can go on; what you answer is tried again with each new answer.
notice-scenario-gone = { $title } cannot be continued: its file has changed or is not open. Open the file again, or begin anew.
notice-cannot-resume = { $title } cannot be continued where it stopped.

## Window: start page
start-title = Look into the jar
start-subtitle = Learn to see what a clear-jar battery cell tells you, and what to do next.
start-picture = The cell: open it in Study
welcome-title = Before the first look
about-for = Jarlight trains the eye. It draws a vented lead-acid cell from its dimensions, shows what each part is, lets conditions grow on it, asks what you see, and explains why.
about-estimates = Causes, ages and growth are estimates by rules that you can read, not measurements of a real cell. Each statement says what it rests on.
about-decide = On site, the local rules, the maker's instructions and licensed practice decide. Where they differ from what is said here, follow them.
continue = Continue
continue-done = { $n } of { $total } answered
continue-go = Go on
begin-here = Begin here
begin-go = Begin
begin-study = Get to know the cell
study-about = The cell, part by part: what it is, where, what for, and what goes wrong with it.
study-go = Open Study
open-scenario = Scenarios
open-file = Open a scenario file
open-path = Path of a scenario file
open-path-hint = path of a .scenario.ron file, or drop one here
open-by-path = Open
open-browse = Choose a file…
open-drop = Drop to open this scenario
scenario-questions =
    { $n ->
        [one] { $n } question
       *[other] { $n } questions
    }
scenario-minutes =
    { $n ->
        [one] about { $n } minute
       *[other] about { $n } minutes
    }
file-faults =
    { $n ->
        [one] cannot be used: { $n } fault
       *[other] cannot be used: { $n } faults
    }
fault-error = Error
fault-warning = Warning
fault-help = Help
learner-who = Who is learning
learner-nobody = Nobody yet
learner-new = Someone new
learner-none = Choose a name above. A number is enough.
learner-numbered = Learner { $n }
learner-name = Name of the learner
learner-begin = Begin
learner-add = Add
caution-title = This is training, not a permit to work
caution-text = Look only; touch nothing on a real battery. Acid burns, the gas can explode, a short circuit can kill. Wear what the site asks for. A wet crack, bare plates, heat or a strong smell: stop, and tell the person in charge.

## Window: help
help-title = What Jarlight is for
help-keys = Keys
help-close = Close
help-still = Reduce motion: nothing changes by itself
key-tab = Tab, Shift+Tab
key-tab-does = next or previous thing; in a drawing, the next part
key-enter = Enter
key-enter-does = choose; answer; next question
key-digits = 1 to 9
key-digits-does = choose an answer
key-arrows = Arrow keys
key-arrows-does = move the drawing or the lamp; from part to part
key-zoom = + − 0, wheel
key-zoom-does = nearer, farther, all of it
key-find = Ctrl+F or /
key-find-does = find a part in Study, or a condition in the Atlas
key-blink = B
key-blink-does = in the Atlas, from the condition to the normal cell and back
key-text = Ctrl +, Ctrl −
key-text-does = larger or smaller text
key-open = Ctrl+O
key-open-does = open a scenario file
key-help = F1
key-help-does = this page
key-quit = Ctrl+Q
key-quit-does = close Jarlight; every answer is kept

## Window: study
view-edge = Edge
view-face = Face
view-plan = Plan
view-peeled = Peeled
view-row = Row
view-rack = Rack
group-container = Container
group-element = Element
group-terminals = Terminals
group-openings = Openings
group-connections = Connections
group-rack = Rack
study-no-design = There is no design to show.
study-cannot-draw = This cell cannot be drawn.
study-search = Find a part
study-search-hint = Find a part
study-none-found = No part is called “{ $what }”.
study-labels = Labels
study-drawing = Drawing of the cell, { $view } view
study-choose = Choose a part in the drawing or in the list. Tab goes from part to part.
study-keys = Wheel or + and − to zoom, drag to move
study-also = Also called: { $names }
study-design = Design
study-set = Label set
study-look-from = Look from: { $view }
study-element-only = Element only
study-cut-strap = Strap cut away
study-front-bar-off = Front bar off
study-post-cut = Post cut open
study-stretch = Stack stretched
study-manner = How it is drawn
study-magnifier = Magnifier (M)
study-left-out-how = Point at a part to read its name, zoom in, show numbers, or choose it here:
magnifier-under = Under the magnifier: { $what }
magnifier-nothing = nothing
units-metric = mm
units-inch = inch
study-peel = Layers apart
study-cells-name = Number of cells
study-cells =
    { $n ->
        [one] { $n } cell
       *[other] { $n } cells
    }
study-tab-part = Part
study-tab-walks = Walks
study-tab-sizes = Dimensions
study-tab-condition = Condition
study-touches = What touches this
study-conditions = Conditions here, in the Atlas
labels-names = Names
labels-numbers = Numbers
labels-off = No labels
set-all = All parts
set-seals = Seals
set-current = Carries current
set-element = The element
set-acid = Acid
set-support = Carries weight
set-gas = Where gas goes
relation-above = Lies above
relation-below = Lies below
relation-inside = Lies inside
relation-between = Lies between
relation-attached = Is joined to
relation-touches = Touches
relation-pierces = Goes through
relation-covers = Covers
relation-opposite = Is the other polarity of
caption-edge = Front jar wall removed.
caption-front-bar = The front bar is left off the positive post.
caption-cut = The right end of the positive strap is cut away, so that the negative one is seen.
caption-post-cut = A window is cut into the positive post, to show its copper core.
caption-stretched = The stack is drawn { $times } times as thick as it is.
caption-true = True proportions.
caption-schematic = Schematic.
caption-last-good = The sizes cannot be built: this is the last design that can.
caption-face = The near jar wall is removed.
caption-plan = Seen from above, with both neighbours.
caption-element = Only the element is drawn: plates, separators, mats, straps and posts.
caption-peeled = Schematic: the layers are drawn apart in their true order, seen obliquely.
caption-row = Front jar walls removed. Every second cell is turned, so that + stands beside −.
caption-rack = Schematic from afar: zoom in, and the cells are drawn whole.
walks-title = Guided walks
walks-about = Parts pointed out one after the other, with what to see in them. Choose a walk.
walk-step = Step { $n } of { $total }
walk-next = Next
walk-back = Back
walk-all = All walks
walk-keys = Also with the arrow keys, Page Up and Page Down.
sizes-title = Change dimensions
sizes-reset = Reset
sizes-impossible = This cannot be built; the last good picture stays.
size-plates = Plates
size-width = Plate width
size-height = Plate height
size-positive = Positive plate, thickness
size-negative = Inside negative, thickness
size-end-negative = End negative, thickness
size-separator = Separator, thickness
size-mat = Retainer mat, thickness
size-clearance = Jar clearance at each end
size-sediment = Sediment space
size-low-over = Low line above the strap
size-span = From low line to high line
size-head = Gas space above the high line
condition-title = Draw a condition
condition-about = How a condition looks and grows is an estimate.
condition-name = Condition
condition-none = None: a healthy cell
condition-slider = How far gone
condition-severity = { $percent } %, { $grade }
condition-see = What the eye sees
condition-measure = What to look at or measure next
study-other-view = Not seen from here. Look from:
study-not-drawn = Not drawn in these views.
study-next = Next part
study-previous = Previous part
zoom-in = Nearer
zoom-out = Farther
zoom-all = Show all
fact-count = In this cell
fact-plates = Plates
fact-plates-value = { $positives } positive, { $negatives } negative
fact-plate-size = Plate, width × height
fact-positive = Positive plate, thickness
fact-negative = Inside negative, thickness
fact-end-negative = End negative, thickness
fact-separator = Separator, thickness
fact-mat = Retainer mat, thickness
said-what = What it is
said-place = Where it is
said-recognise = How to recognise it
said-job = What it is for
said-wrong = What goes wrong
said-variants = How it differs
basis-memory = Trade knowledge, not looked up
basis-practice = Common practice
basis-seen = Seen in { $source }
basis-standard = Standard: { $source }
basis-arithmetic = Calculated: { $from }
basis-estimate = Estimate: { $why }

## Window: questions
questions-about = One picture, one question. Every answer is kept at once; you can stop at any moment.
mode-learn = Learn
mode-learn-about = With help that fades as you get things right
mode-practise = Practise
mode-practise-about = Without help unless you ask for a hint
question-count = Question { $n } of { $total }
picture-title = Drawing of the cell
picture-ringed = Drawing of the cell; the place asked about is ringed, { $where }
picture-this = This cell
picture-twin = The same cell, healthy
place-neutral = place { $n }, { $where }
where-0-0 = upper left
where-0-1 = upper middle
where-0-2 = upper right
where-1-0 = middle left
where-1-1 = middle
where-1-2 = middle right
where-2-0 = lower left
where-2-1 = lower middle
where-2-2 = lower right
point-title = Point at it in the drawing
point-how = Click the place, or go there with Tab and press Enter.
point-none = Nothing chosen yet
point-beside = You chose a place beside everything
point-chosen = Place chosen
several-how = Choose all that apply; choosing again takes it back.
several-on = chosen
order-how = Choose the steps one after the other; choosing again takes a step out.
order-place = step { $n }
number-name = Your number
number-hint = a number
marks-how = Choose what it is, then point at it in the drawing. Answer when there is nothing more.
marks-one = { $n }: { $what }
marks-remove = Take back
picture-left = Left picture
picture-right = Right picture
feedback-right = The right answer
diagnose-condition = What is shown?
diagnose-cause = What does it suggest?
diagnose-began = How long ago did it begin?
diagnose-open = not chosen yet
interval-from = At least this long ago
interval-to = At most this long ago
interval-between = between { $from } and { $to } ago
sure-title = How sure are you?
sure-guess = Guess
sure-leaning = Leaning
sure-fairly = Fairly sure
sure-certain = Certain
sure-was-guess = you guessed
sure-was-leaning = you leaned to it
sure-was-fairly = you were fairly sure
sure-was-certain = you were certain
answer = Answer
hint = Hint
hint-ask = Show a hint
worked = The answer, worked out
answer-yours = Your answer
answer-right = Right answer
answer-yours-right = Your answer, and right
verdict-right = Right
verdict-partly = Partly right
verdict-wrong = Not this time
feedback-given = You answered: { $given }
feedback-not = Not { $name }
feedback-causes = What it suggests, and since when
feedback-estimate = By the rules of the catalogue; an estimate, not a measurement
feedback-next = Next look
feedback-caution = Caution
next-question = Next question
next-finish = To the result
finish-title = Done
finish-score = { $points } of { $most } points
finish-right = { $right } of { $total } wholly right
finish-misses = What to look at again
finish-question = Question { $n }
finish-again = Once more
finish-list = All scenarios

## Scenarios: further forms
option-not-normal = Something is wrong here
option-clean = { $name }: looked for and not there
option-look = Look for: { $name }
option-cell = Cell { $n }
side-first = The first more than the second
side-second = The second more than the first
side-same = Both alike
sheet-cell = Cell
sheet-volts = Float voltage, V
sheet-gravity = Specific gravity as read
sheet-celsius = Temperature, °C
answer-step = { $n }. { $step }
answer-place = { $name } at { $place }
answer-graded = { $name }: { $grade }
feedback-there = { $name } is there. { $place }
feedback-none-missing = All of these parts are there.
feedback-something-missing = A part is missing: { $name }. { $what }
feedback-not-normal = Something is wrong here: { $name }. { $see }
feedback-look-best = This look tells most about what is still open.
feedback-look-less = This look tells less about the causes that are open here.
feedback-look-nothing = This look tells nothing about the causes that are open here.
feedback-harmful = Nobody does this. It could hurt someone or harm the cell.
feedback-order = What has to come first comes first.
feedback-order-pair = "{ $first }" comes before "{ $second }".
feedback-order-safety = Safety: "{ $first }" must come before "{ $second }".
feedback-compared = First: { $first }. Second: { $second }.
feedback-missed-place = Not found: { $name }. { $see }
feedback-false-mark = Nothing is wrong at this place.
feedback-label = This is { $name }.
feedback-grade-is = { $grade }: { $step }
feedback-grade-none = Nothing of it can be seen.
feedback-evidence-for = { $name } speaks for it ({ $decibans } decibans).
feedback-evidence-none = { $name } does not speak for it.
feedback-corrected = { $reading } { $sign } 0.0006 × { $degrees } = { $result }. One point of 0.001 is added for each 1.67 °C above 25 °C, and taken off below it.
feedback-median = The middle of the column is { $median }.
feedback-outlier-missed = Cell { $n } reads { $value }, which lies far from the middle.
feedback-outlier = Cell { $n } reads { $value }, which lies close to the middle.

## Window: atlas
browse-place = By where you look
browse-part = By part
browse-cause = By cause
browse-urgency = By urgency when moderate
browse-harmless = Harmless look-alikes
look-top = Top and vents
look-seals = Seals
look-plates = Plates and separators
look-bottom = Bottom
look-acid = Acid and gas
look-shell = Jar walls
look-connections = Connections
look-rack = Rack and order
urgency-note-means = write it down
urgency-watch-means = compare at the next visit
urgency-arrange-means = plan work within weeks to months
urgency-prompt-means = act within days
urgency-halt-means = make safe, or tell the person in charge before leaving the room
atlas-search = Find a condition
atlas-search-hint = Find a condition, by any word
atlas-add-hint = Choose what else is on it
atlas-by = Put together
atlas-only-part = Only what can be on: { $part }
atlas-all-parts = Show all parts
atlas-none-found = Nothing is found for “{ $what }”.
atlas-normal-title = A healthy cell
atlas-normal-about = This is what is normal. Choose a condition or a harmless look-alike in the list; the drawing goes to the place where it shows. A click on a part lists what can be on it.
atlas-keys = Ctrl+F finds by any word. Arrow keys move the lamp, + and − bring it nearer or farther.
atlas-harmless = Harmless look-alike
atlas-harmless-short = harmless
atlas-finding = Finding
atlas-finding-short = finding
atlas-kind = { $kind }: { $place }
atlas-basis = Show what each statement rests on
atlas-basis-all = Grades, growth and shares: { $basis }
atlas-see = What the eye sees
atlas-grades = How far, and how urgent
atlas-grade-spoken = { $grade }: { $urgency }
atlas-confused = Confused with, and how to tell
atlas-suggests = What it suggests
atlas-share = { $percent } % of cases
atlas-share-note = Shares are estimates, and causes can overlap. It suggests, it does not prove.
atlas-to-cause = { $name }, { $share }: read about this cause
atlas-clock = How long it takes
atlas-fades = After the cause is mended
atlas-measure = What to look at or to measure next
atlas-action = What is done about it
atlas-parts = Parts it is on
atlas-to-part = { $part }: open in Study
atlas-open = { $name }: open in the Atlas
atlas-back-to = ‹ { $name }
atlas-lamp = Lamp
atlas-room = Room light
atlas-chip = { $name }, { $grade }
atlas-take-off = Take off: { $name }
atlas-add = + Add another
atlas-adding = Choose in the list, or press here to stop
atlas-months = Since its cause began
atlas-age = Age of the cell
atlas-celsius = Mean room temperature
atlas-linked = Severity follows time
atlas-to-place = To the place
atlas-drawing = Drawing of the cell, { $view } view: { $list }
atlas-drawing-healthy = Drawing of a healthy cell, { $view } view
clock-event = It comes at once and stays: how far it has gone does not say when.
clock-whole = It is there or it is not; time changes nothing.
clock-steady = It does not grow with time.
clock-not-yet = Too soon: nothing shows yet.
clock-usual = Usual for this grade: { $from } to { $to }. An estimate.
clock-usual-heats = Usual for this grade at this temperature: { $from } to { $to }. An estimate.
clock-fast = Faster than usual ({ $from } to { $to }): think of heat, overcharge or a wrong date.
clock-slow = Slower than usual ({ $from } to { $to }), or it has come to a stop.
cause-what = What happens
cause-reading = { $name } (a reading)
scope-string = Shows on most cells of the string
scope-cell = Shows on one cell or a few
scope-either = Shows on one cell or on many
shows-almost-always = Almost always shows
shows-often = Often shows
shows-sometimes = Sometimes shows
shows-seldom = Seldom shows
shows-almost-never = Almost never shows
shown-one = One drawing
shown-compare = Compare
shown-grades = Five grades
shown-years = Over the years
atlas-shown = Show
atlas-alike = Look-alike
atlas-blink = Blink (B)
atlas-outlines = What changed
side-affected = Affected
side-normal = Normal
side-alike = Look-alike
tile-normal = Normal
tile-years = { $cause }: all that it often shows, grown for so many years. An estimate.
tile-years-alone = Grown for so many years. An estimate.
quiz-title = Two questions
quiz-shown = What is shown here?
quiz-normal = A normal cell
quiz-normal-is = This cell is healthy: nothing is on it.
quiz-cause = What does “{ $name }” suggest most?
quiz-cause-right = { $cause } ({ $plain }) stands behind about { $percent } % of cases. An estimate.
quiz-cause-wrong = { $cause } ({ $plain }) is not among what it suggests.
quiz-hurry = “{ $name }” is { $grade }. How much hurry has it?
quiz-hurry-harmless = You see “{ $name }” and nothing else. How much hurry has it?
