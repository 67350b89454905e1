# Means of effects in groups by metafor: one line of figures a file of a folder, to standard output.
suppressMessages(library(metafor))
folder <- commandArgs(TRUE)[1]
cat("seed,mu,se,between,inside,pm_tau2,pm_mu,slope,slope_se,slope_low,slope_high,slope_p,line_tau2\n")
for (file in sort(list.files(folder, full.names = TRUE))) {
  d <- read.csv(file)
  one <- NULL
  for (control in list(list(optimizer = "nlminb", rel.tol = 1e-12), list(optimizer = "optim", reltol = 1e-14,
       maxit = 5000), list(optimizer = "nlminb"))) {
    if (is.null(one)) one <- tryCatch(suppressWarnings(rma.mv(yi, vi, random = ~ 1 | group / id, data = d,
                                                              control = control)), error = function(e) NULL)
  }
  pm <- suppressWarnings(rma(yi, vi, method = "PM", data = d, control = list(tol = 1e-12, maxiter = 1000)))
  line <- NULL
  for (step in c(1, 0.5, 0.25)) if (is.null(line)) line <- tryCatch(suppressWarnings(
    rma(yi, vi, mods = ~ m, test = "knha", data = d, control = list(threshold = 1e-12, maxiter = 10000, stepadj = step))),
    error = function(e) NULL)
  if (is.null(line)) line <- list(beta = c(NA, NA), se = c(NA, NA), ci.lb = c(NA, NA), ci.ub = c(NA, NA),
                                  pval = c(NA, NA), tau2 = NA)
  cat(sub("[.]csv$", "", basename(file)),
      sprintf("%.10g", c(one$beta, one$se, one$sigma2, pm$tau2, pm$beta, line$beta[2], line$se[2], line$ci.lb[2],
                           line$ci.ub[2], line$pval[2], line$tau2)), sep = ","); cat("\n")
}
