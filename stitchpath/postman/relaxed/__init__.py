"""The problem without the demand that each world hangs together: an exact answer, and a bound."""
