//! The fenced blocks of a document.

/// A fenced block.
#[derive(Debug)]
pub struct Block {
    /// The words behind the opening fence.
    pub words: Vec<String>,
    /// The lines between the fences, each with its line end.
    pub text: String,
    /// The number of the opening fence's line, from 1.
    pub line: usize,
}

impl Block {
    /// Whether the first word behind the fence is this.
    pub fn is(&self, word: &str) -> bool {
        self.words.first().is_some_and(|first| first == word)
    }

    /// The commands of a `console` block with what each prints.
    pub fn commands(&self) -> Vec<(String, String)> {
        let mut found: Vec<(String, String)> = Vec::new();
        for line in self.text.lines() {
            match (line.strip_prefix("$ "), found.last_mut()) {
                (Some(command), _) => found.push((command.to_owned(), String::new())),
                (None, Some((_, printed))) => {
                    printed.push_str(line);
                    printed.push('\n');
                }
                (None, None) => panic!("a console block begins with `{line}`, not with `$ `"),
            }
        }
        found
    }
}

/// The fenced blocks of a document, in order.
pub fn blocks(document: &str) -> Vec<Block> {
    let mut found: Vec<Block> = Vec::new();
    let mut open = false;
    for (number, line) in document.split_inclusive('\n').enumerate() {
        if let Some(info) = line.strip_prefix("```") {
            if !open {
                found.push(Block {
                    words: info.split_whitespace().map(str::to_owned).collect(),
                    text: String::new(),
                    line: number + 1,
                });
            }
            open = !open;
        } else if let Some(block) = found.last_mut().filter(|_| open) {
            block.text.push_str(line);
        }
    }
    assert!(!open, "the last fence is never closed");
    found
}
