"""The search in the header: from a name, a telephone number or a paper's number to its page."""
