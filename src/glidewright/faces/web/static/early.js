// Before anything is painted: modules will run, so what they open may start closed.
document.documentElement.classList.add("js");
