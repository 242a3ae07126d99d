using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Something about a standard that loads, but does not say what its company is likely to mean.</summary>
/// <param name="Fault">Where, what, and what to write instead.</param>
/// <param name="IsWarning">True where it may be meant; false where no coat can be within.</param>
public sealed record Finding(TextFault Fault, bool IsWarning);

/// <summary>
/// Looks at a standard as a whole, on every coat it speaks of: items that no reading sees in some direction, rules that no coat can satisfy together, places
/// whose name is a slip of another's.
/// </summary>
public static class StandardReview
{
    /// <summary>Combinations of answers that are looked at; a company's standard has fewer. Beyond them the review says so.</summary>
    public const int MostCoats = 500;

    /// <summary>What was found, in the order of the text; for each item and each rule once, with the first coat that shows it.</summary>
    public static IReadOnlyList<Finding> Of(Standard standard)
    {
        List<Finding> findings = [];
        long all = standard.Questions.Aggregate(1L, (product, question) => Math.Min(product * question.Answers.Count, int.MaxValue));
        if (all > MostCoats)
        {
            findings.Add(Warn(new TextPlace(1, 1), string.Create(CultureInfo.InvariantCulture, $"there are {(all == int.MaxValue ? "very many" : all)} combinations of answers, and the first {MostCoats} were looked at"), "fewer questions, or a look at the rest by hand"));
        }

        HashSet<string> told = [];
        foreach (Dictionary<string, string> answers in Coats(standard).Take(MostCoats))
        {
            Plan plan = Plan.For(standard, answers);
            foreach (Item item in plan.Items)
            {
                if (Unseen(plan, item) is { } unseen && told.Add($"item {item.Id} {unseen.Message}"))
                {
                    findings.Add(Warn(standard.PlaceOf("item", item.Id), unseen.Message, unseen.Instead));
                }
            }

            if (Contradiction(plan) is { } rules && told.Add($"rules {string.Join(' ', rules)}"))
            {
                string names = string.Join(" and ", rules.Select(FaultList.Quote));
                findings.Add(new Finding(At(standard.PlaceOf("relation", rules[^1]), $"{names} cannot hold together{Coat(standard, answers)}", "limits that some coat can keep, or a condition on one of them"), false));
            }
        }

        findings.AddRange(Slips(standard));
        return [.. findings.OrderBy(finding => finding.Fault.Line).ThenBy(finding => finding.Fault.Column)];
    }

    private static Finding Warn(TextPlace place, string message, string instead) => new(At(place, message, instead), true);

    private static TextFault At(TextPlace place, string message, string instead) => new(place.Line, place.Column, message, instead);

    // The usual coat first, then those that differ in the last question, and so on.
    private static IEnumerable<Dictionary<string, string>> Coats(Standard standard)
    {
        IEnumerable<Dictionary<string, string>> coats = [[]];
        foreach (Question question in standard.Questions)
        {
            coats = coats.SelectMany(coat => question.Answers.Select(answer => new Dictionary<string, string>(coat) { [question.Id] = answer }));
        }

        return coats;
    }

    private static string Coat(Standard standard, Dictionary<string, string> answers) => answers.Count == 0
        ? string.Empty
        : $" on a coat with {FaultList.Shown(string.Join(", ", standard.Questions.Select(question => $"{question.Id} = {answers[question.Id]}")), 200)}";

    // ---- what no reading sees -----------------------------------------------------------------------------------------------------------

    private static (string Message, string Instead)? Unseen(Plan plan, Item item)
    {
        Step[] steps = [.. plan.Steps.Where(step => step.Of == item.Id && step.Grows is not null)];
        string name = FaultList.Quote(item.Name), on = FaultList.Shown(plan.Standard.NameOf(item.StandsOn), 60);
        if (steps.Length == 0)
        {
            return ($"no reading sees where {name} sits", $"a line such as \"1/4 above the {on}\"");
        }

        bool across = steps.Any(step => Math.Abs(step.Grows!.Right) > Small), upright = steps.Any(step => Math.Abs(step.Grows!.Up) > Small);
        if (!across || !upright)
        {
            return across
                ? ($"no reading sees whether {name} sits too high or too low", $"a line such as \"1/4 above the {on}\", or \"centred up and down on the {on}\"")
                : ($"no reading sees whether {name} sits too far to the left or to the right", $"a line such as \"centred on the {on}\"");
        }

        if (Rank(steps, item, withTurn: false) < 2)
        {
            return ($"no reading sees {name} across the slant of its one distance", $"a second distance, such as \"centred on the {on}\"");
        }

        bool canTurn = item.Pins.Distinct().Skip(1).Any();   // one pin holds no angle
        return canTurn && Rank(steps, item, withTurn: true) < 3 ? ($"no reading sees whether {name} is turned", "\"level\", which reads its distance at both ends") : null;
    }

    private const double Small = 1e-6;

    /// <summary>How many ways of shifting and turning the item the readings tell apart: their rank, by elimination.</summary>
    private static int Rank(Step[] steps, Item item, bool withTurn)
    {
        double scale = Math.Max(Math.Max(item.Size.Right.Nanometres, item.Size.Up.Nanometres) / 2.0, 1);
        List<double[]> rows = [.. steps.Select(step => new[]
        {
            step.Grows!.Right, step.Grows.Up, withTurn ? ((step.Grows.Up * step.At.Right.Nanometres) - (step.Grows.Right * step.At.Up.Nanometres)) / scale : 0,
        })];
        int rank = 0;
        for (int column = 0; column < 3; column++)
        {
            double[]? pivot = rows.Skip(rank).MaxBy(row => Math.Abs(row[column]));
            if (pivot is null || Math.Abs(pivot[column]) < 0.01)   // less is all noise
            {
                continue;
            }

            rows.Remove(pivot);
            rows.Insert(rank++, pivot);
            foreach (double[] row in rows.Skip(rank))
            {
                double share = row[column] / pivot[column];
                for (int k = column; k < 3; k++)
                {
                    row[k] -= share * pivot[k];
                }
            }
        }

        return rank;
    }

    // ---- rules against each other ---------------------------------------------------------------------------------------------------------

    /// <summary>A sum of readings that must lie between two values, in nanometres.</summary>
    private sealed record Bound(string Rule, (string Step, double Factor)[] Terms, double Low, double High);

    /// <summary>
    /// The rules, as few as can be, that no readings at all satisfy together; null where there are none. Rules that depend on a measured value, and shares and angles, are
    /// left out: a contradiction told here is one on every coat with these answers.
    /// </summary>
    private static IReadOnlyList<string>? Contradiction(Plan plan)
    {
        List<Relation> rules = [.. plan.Relations.Where(rule => rule.Kind.Dimension == Dimension.Length && rule.AddSteps.Count == 0 && rule.When?.Parts.Any(part => part is ConditionPart.ValueIs) != true)];
        if (CanHold(rules))
        {
            return null;
        }

        for (int at = rules.Count - 1; at >= 0; at--)
        {
            List<Relation> fewer = [.. rules.Where((_, index) => index != at)];
            rules = CanHold(fewer) ? rules : fewer;
        }

        return [.. rules.Select(rule => rule.Id)];
    }

    // Of rules with several nominals, some choice must do; with very many choices each rule's whole range stands for it.
    private static bool CanHold(List<Relation> rules)
    {
        IEnumerable<Bound[]> ways = [[]];
        int count = 1;
        foreach (Relation rule in rules)
        {
            Limits[] choices = count * rule.Limits.Count <= 64 ? [.. rule.Limits] : [Hull(rule.Limits)];
            count *= choices.Length;
            ways = ways.SelectMany(way => choices.Select(limits => (Bound[])[.. way, .. Bounds(rule, limits)]));
        }

        return ways.Any(AreConsistent);
    }

    private static Limits Hull(IReadOnlyList<Limits> limits) => new(
        limits.Any(one => one.Lower is null) ? null : limits.Min(one => one.Lower), limits.Any(one => one.Upper is null) ? null : limits.Max(one => one.Upper), null);

    private static IEnumerable<Bound> Bounds(Relation rule, Limits limits)
    {
        double half = rule.Add.Sum(size => (double)size.Nanometres) / 2;
        double low = (limits.Lower?.Nanometres ?? double.NegativeInfinity) - half, high = (limits.Upper?.Nanometres ?? double.PositiveInfinity) - half;
        return rule.JudgesEach ? rule.Of.Select(step => new Bound(rule.Id, [(step, 1.0)], low, high))
            : rule.Kind.IsSpread ? rule.Of.Skip(1).Select(step => new Bound(rule.Id, [(rule.Of[0], 1.0), (step, -1.0)], -high, high))
            : [new Bound(rule.Id, [.. rule.Kind.Value(rule, rule.Of[0], null, _ => ExactLength.From(Length.Inch)).Gradient.Select(term => (term.Step, term.PerNanometre))], low, high)];
    }

    // Each rule draws in what the others leave of its readings, round by round; an empty range is a contradiction.
    private static bool AreConsistent(Bound[] bounds)
    {
        Dictionary<string, (double Low, double High)> ranges = bounds.SelectMany(bound => bound.Terms).Select(term => term.Step).Distinct().ToDictionary(step => step, _ => (double.NegativeInfinity, double.PositiveInfinity));
        for (int round = 0; round < 20; round++)
        {
            bool changed = false;
            foreach (Bound bound in bounds)
            {
                foreach ((string step, double factor) in bound.Terms)
                {
                    double low = bound.Low, high = bound.High;
                    foreach ((string other, double times) in bound.Terms.Where(term => term.Step != step))
                    {
                        (double a, double b) = (times * ranges[other].Low, times * ranges[other].High);
                        (low, high) = (low - Math.Max(a, b), high - Math.Min(a, b));
                    }

                    (double from, double to) = factor > 0 ? (low / factor, high / factor) : (high / factor, low / factor);
                    (double Low, double High) now = (Math.Max(ranges[step].Low, from), Math.Min(ranges[step].High, to));
                    if (now.Low > now.High + 1)   // a nanometre is arithmetic
                    {
                        return false;
                    }

                    changed |= now != ranges[step];
                    ranges[step] = now;
                }
            }

            if (!changed)
            {
                return true;
            }
        }

        return true;
    }

    // ---- names ----------------------------------------------------------------------------------------------------------------------------

    // A place that has no line of its own came into being by being named: by its near name it is more likely a slip.
    private static IEnumerable<Finding> Slips(Standard standard) => standard.Landmarks
        .Where(place => place.At is null && place.Size is null)
        .SelectMany(place => standard.Landmarks
            .Where(other => NearestName.IsNear(place.Name, other.Name) && WithoutDigits(place.Name) != WithoutDigits(other.Name) && (other.At is not null || other.Size is not null || string.CompareOrdinal(other.Name, place.Name) < 0))
            .Take(1)
            .Select(other => Warn(standard.PlaceOf("landmark", place.Name), $"the place {FaultList.Quote(place.Name)} is near in name to {FaultList.Quote(other.Name)}", $"\"{FaultList.Shown(other.Name, 80)}\", or names that differ more")));

    private static string WithoutDigits(string name) => string.Concat(name.Where(c => !char.IsAsciiDigit(c)));
}
