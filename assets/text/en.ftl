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
