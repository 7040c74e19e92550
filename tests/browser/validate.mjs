// Holds pages to the HTML standard, offline.
// Usage: node validate.mjs PAGE.html...   -> a list of findings as JSON on stdout
import { FileSystemConfigLoader, HtmlValidate } from "html-validate";

const checker = new HtmlValidate(
  new FileSystemConfigLoader({
    root: true,
    extends: ["html-validate:standard", "html-validate:document", "html-validate:a11y"],
  }),
);
const findings = [];
for (const page of process.argv.slice(2)) {
  const report = await checker.validateFile(page);
  for (const result of report.results) {
    for (const { ruleId, message, line } of result.messages) {
      findings.push({ page, rule: ruleId, message, line });
    }
  }
}
process.stdout.write(JSON.stringify(findings));
