"""The parts of speech behind ``wording``: names, evidence, and what each technique says."""
