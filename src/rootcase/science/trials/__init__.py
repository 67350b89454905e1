"""What a treatment did: mixed models of trees before and after, power, and the pooling of several trials."""
