"""How every fitted weight of the reader was found, and how it is fitted again."""
