"""All that changes a draft or a reading by hand."""
