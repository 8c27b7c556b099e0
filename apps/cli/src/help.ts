export const help = `Plans a farm's spawn work from a workbook: what to start, keep, chill, warm and use.

  npm run -s plan -- FILE.xlsx [--as-of YYYY-MM-DD] [--json] [--out RESULT.xlsx]
                         [--assurance PERCENT] [--thorough]
  npm run -s plan -- --example FILE.xlsx [--as-of YYYY-MM-DD]
  npm run -s plan -- --example-small FILE.xlsx [--as-of YYYY-MM-DD]

  --as-of YYYY-MM-DD    the day to plan for; today in the farm's time zone when left out
  --json                print the plan, or what is wrong with the workbook, as JSON
  --out RESULT.xlsx     also write the plan as a workbook
  --assurance PERCENT   raise starts until each run is covered with this probability, or say what prevents it;
                        left out: the cheapest plan on expected values, with the probability of each run told
  --thorough            look some twenty-five times longer for a cheaper plan
  --example FILE        write an invented farm to try and to fill in; an existing file is kept
  --example-small FILE  the same for a kitchen: a dozen jars, one pot, one strain
  --help                this text

Exit code 0: planned or written. 2: the workbook or the command line has errors, each told with
what to do. 1: an unexpected failure. Every sheet and column: docs/workbook.md.
`;
