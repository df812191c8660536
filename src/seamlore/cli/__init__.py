"""Words on the command line -> steps -> text and exit code. No rule of its own."""
