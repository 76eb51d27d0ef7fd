"""The pages of the library: reading it, writing a recipe, deciding on one."""
