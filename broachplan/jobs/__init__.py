"""Coming work: a job, its states, its days at the press, and the order of jobs."""
