# Every text of the interface. Ids: screen or topic, then what it is.

app-name = Jarlight
labels-left-out =
    { $n ->
        [one] { $n } label left out: hover or zoom
       *[other] { $n } labels left out: hover or zoom
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
