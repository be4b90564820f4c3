"""The command line: one thin function a command, `(words after it, --db) -> exit status`."""
