"""The five verbs joined, one module a job: what cli, batch and preview call."""
