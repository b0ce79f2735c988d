"""What has to run and why: settings checked, the plan, results held against the ledger."""
