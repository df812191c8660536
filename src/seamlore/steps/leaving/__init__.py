"""What leaves the house and may come back: studies as files, catalogues, web pages, labels and talks; private things stay."""
