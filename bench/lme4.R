# Seconds of lme4 for each trial of a folder, both models: file, model, median of three fits, standard error of the effect.
suppressMessages(library(lme4))
for (file in sort(list.files(commandArgs(TRUE)[1], full.names = TRUE))) {
  d <- read.csv(file)
  d$siteyear <- factor(paste(d$site, d$year)); d$treeyear <- factor(paste(d$tree, d$year))
  d$site <- factor(d$site); d$tree <- factor(d$tree)
  models <- list(nested = y ~ treated * after + (1 | site) + (1 | tree) + (1 | treeyear),
                 full = y ~ treated * after + (1 | site) + (1 | siteyear) + (1 | tree) + (1 | treeyear))
  for (name in names(models)) {
    seconds <- replicate(3, system.time(fit <<- suppressMessages(lmer(models[[name]], d)))[["elapsed"]])
    cat(sub("[.]csv$", "", basename(file)), name, median(seconds), sqrt(vcov(fit)[4, 4]), "\n")
  }
}
