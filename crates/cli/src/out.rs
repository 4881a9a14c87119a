//! Where the terminal commands write: what was asked for, and messages beside it.

use std::io::{ErrorKind, Result, Write};

/// Standard output and standard error, or what a test puts in their place.
///
/// A reader that has seen enough closes its pipe; that is no failure, so what comes after is
/// dropped in silence.
pub struct Out<'a> {
    data: Stream<'a>,
    messages: Stream<'a>,
}

struct Stream<'a> {
    to: &'a mut dyn Write,
    closed: bool,
}

impl Stream<'_> {
    fn write(&mut self, bytes: &[u8]) -> Result<()> {
        if self.closed {
            return Ok(());
        }
        match self.to.write_all(bytes).and_then(|()| self.to.flush()) {
            Err(e) if e.kind() == ErrorKind::BrokenPipe => {
                self.closed = true;
                Ok(())
            }
            other => other,
        }
    }
}

impl<'a> Out<'a> {
    /// Writes data to the first and messages to the second.
    pub fn new(data: &'a mut dyn Write, messages: &'a mut dyn Write) -> Self {
        let stream = |to| Stream { to, closed: false };
        Self { data: stream(data), messages: stream(messages) }
    }

    /// Writes what was asked for.
    pub fn data(&mut self, bytes: &[u8]) -> Result<()> {
        self.data.write(bytes)
    }

    /// Writes what was asked for, as a line.
    pub fn line(&mut self, text: &str) -> Result<()> {
        self.data.write(format!("{}\n", text.trim_end_matches('\n')).as_bytes())
    }

    /// Writes a message as a line.
    ///
    /// When not even messages can be written there is nobody left to tell.
    pub fn message(&mut self, text: &str) {
        let line = format!("{}\n", text.trim_end_matches('\n'));
        let _ = self.messages.write(line.as_bytes());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Closed(ErrorKind);

    impl Write for Closed {
        fn write(&mut self, _: &[u8]) -> Result<usize> {
            Err(self.0.into())
        }
        fn flush(&mut self) -> Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_closed_pipe_is_no_failure_and_a_full_disk_is() {
        for (kind, fine) in [(ErrorKind::BrokenPipe, true), (ErrorKind::StorageFull, false)] {
            let mut to = Closed(kind);
            let mut messages = Vec::new();
            let mut out = Out::new(&mut to, &mut messages);
            assert_eq!(out.line("a").is_ok(), fine, "{kind:?}");
            assert_eq!(out.line("b").is_ok(), fine, "{kind:?}");
        }
    }

    #[test]
    fn data_and_messages_go_their_own_ways() {
        let (mut data, mut messages) = (Vec::new(), Vec::new());
        let mut out = Out::new(&mut data, &mut messages);
        out.line("asked for\n").unwrap();
        out.message("said");
        assert_eq!((&data[..], &messages[..]), (&b"asked for\n"[..], &b"said\n"[..]));
    }
}
