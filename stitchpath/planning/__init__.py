"""From a drawing to routed jobs: the network, how it is divided, and trails that become paths."""
