import java.io.InputStream;
import java.util.TreeSet;
import org.verapdf.gf.foundry.VeraGreenfieldFoundryProvider;
import org.verapdf.pdfa.Foundries;
import org.verapdf.pdfa.PDFAParser;
import org.verapdf.pdfa.PDFAValidator;
import org.verapdf.pdfa.flavours.PDFAFlavour;
import org.verapdf.pdfa.results.TestAssertion;
import org.verapdf.pdfa.results.ValidationResult;

/**
 * Validates the PDF on standard input against the flavour named by the one argument, "3a" or "ua1".
 *
 * Prints one line for each rule that is not met, then "checked" with the number of checks made.
 */
class Validate {
    public static void main(String[] arguments) throws Exception {
        VeraGreenfieldFoundryProvider.initialise();
        PDFAFlavour flavour = PDFAFlavour.byFlavourId(arguments[0]);
        if (flavour == PDFAFlavour.NO_FLAVOUR) {
            throw new IllegalArgumentException("There is no flavour " + arguments[0]);
        }
        try (PDFAParser parser = Foundries.defaultInstance().createParser(System.in, flavour);
             PDFAValidator validator = Foundries.defaultInstance().createValidator(flavour, false)) {
            ValidationResult result = validator.validate(parser);
            TreeSet<String> failures = new TreeSet<>();
            for (TestAssertion each : result.getTestAssertions()) {
                if (each.getStatus() == TestAssertion.Status.FAILED) {
                    failures.add(each.getRuleId().getClause() + "-" + each.getRuleId().getTestNumber()
                            + " " + each.getMessage().replaceAll("\\s+", " ")
                            + " [" + each.getLocation().getContext() + "]");
                }
            }
            if (failures.isEmpty() != result.isCompliant()) {
                failures.add("the validator calls the file "
                        + (result.isCompliant() ? "compliant" : "not compliant"));
            }
            failures.forEach(System.out::println);
            System.out.println("checked " + result.getTotalAssertions());
        }
    }
}
