# Fits of lme4, lmerTest and pbkrtest to the trials of a folder: one line of figures a file, to standard output.
suppressMessages({library(lme4); library(lmerTest); library(pbkrtest)})
folder <- commandArgs(TRUE)[1]
cat("seed,criterion,effect,se,df,kr_se,kr_df,site,site_year,tree,tree_year,residual\n")
for (file in sort(list.files(folder, full.names = TRUE))) {
  d <- read.csv(file)
  d$siteyear <- factor(paste(d$site, d$year)); d$treeyear <- factor(paste(d$tree, d$year))
  d$site <- factor(d$site); d$tree <- factor(d$tree)
  best <- NULL
  for (optimizer in c("bobyqa", "nloptwrap", "Nelder_Mead")) {
    more <- if (optimizer == "bobyqa") list(rhoend = 1e-9, maxfun = 1e5) else
      if (optimizer == "nloptwrap") list(xtol_abs = 1e-10, ftol_abs = 1e-10, maxeval = 1e5) else list(maxfun = 1e5)
    one <- suppressWarnings(suppressMessages(lmerTest::lmer(
      y ~ treated * after + (1 | site) + (1 | siteyear) + (1 | tree) + (1 | treeyear), d,
      control = lmerControl(optimizer = optimizer, optCtrl = more, check.nobs.vs.nlev = "ignore",
                            check.nobs.vs.rankZ = "ignore", check.nlev.gtr.1 = "ignore"))))
    if (is.null(best) || REMLcrit(one) < REMLcrit(best)) best <- one
  }
  tab <- suppressWarnings(coef(summary(best)))["treated:after", ]
  kr <- tryCatch({
    k <- vcovAdj(best); L <- c(0, 0, 0, 1)
    c(sqrt(k[4, 4]), Lb_ddf(L, vcov(best), k))
  }, error = function(e) c(NA, NA))
  v <- as.data.frame(VarCorr(best)); s <- setNames(v$vcov, v$grp)
  cat(sub("[.]csv$", "", basename(file)), sprintf("%.10g", c(REMLcrit(best), tab["Estimate"], tab["Std. Error"], tab["df"],
    kr, s["site"], s["siteyear"], s["tree"], s["treeyear"], s["Residual"])), sep = ",")
  cat("\n")
}
