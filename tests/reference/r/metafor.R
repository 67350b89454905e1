# Means of effects in groups by metafor: one line of figures a file of a folder, to standard output.
suppressMessages(library(metafor))
folder <- commandArgs(TRUE)[1]
cat("seed,mu,se,between,inside,pm_tau2,pm_mu\n")
for (file in sort(list.files(folder, full.names = TRUE))) {
  d <- read.csv(file)
  one <- NULL
  for (control in list(list(optimizer = "nlminb", rel.tol = 1e-12), list(optimizer = "optim", reltol = 1e-14,
       maxit = 5000), list(optimizer = "nlminb"))) {
    if (is.null(one)) one <- tryCatch(suppressWarnings(rma.mv(yi, vi, random = ~ 1 | group / id, data = d,
                                                              control = control)), error = function(e) NULL)
  }
  pm <- suppressWarnings(rma(yi, vi, method = "PM", data = d, control = list(tol = 1e-12, maxiter = 1000)))
  cat(sub("[.]csv$", "", basename(file)),
      sprintf("%.10g", c(one$beta, one$se, one$sigma2, pm$tau2, pm$beta)), sep = ","); cat("\n")
}
