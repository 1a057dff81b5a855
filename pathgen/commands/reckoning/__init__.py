"""`pathgen reckon`: trade arithmetic for a person standing at the machine, one topic a question."""
