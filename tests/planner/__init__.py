"""The planner: rules, stacks, search, cautions, what to make, the plan."""
