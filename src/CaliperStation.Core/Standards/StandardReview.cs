using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Something about a standard that loads, but does not say what its company is likely to mean.</summary>
/// <param name="Kind">Which kind of thing it is.</param>
/// <param name="Fault">Where, what, and what to write instead.</param>
/// <param name="IsWarning">True where it may be meant; false where no coat can be within.</param>
public sealed record Finding(ReviewKind Kind, TextFault Fault, bool IsWarning)
{
    /// <summary>What it is about: ids of items, rules or steps, or names of places.</summary>
    public IReadOnlyList<string> About { get; init; } = [];

    /// <summary>What a coat is like that shows it, as a condition; empty where it is so on all, or where that is not told.</summary>
    public string On { get; init; } = "";

    /// <summary>True for what the review itself could not look at, which says nothing against the standard; it is no warning then.</summary>
    public bool IsNote { get; init; }
}

/// <summary>What a review looks for.</summary>
public enum ReviewKind
{
    /// <summary>There are more coats than were looked at.</summary>
    ManyCoats,

    /// <summary>No reading sees an item at all.</summary>
    Unseen,

    /// <summary>No reading sees whether it sits too high or too low.</summary>
    HeightUnseen,

    /// <summary>No reading sees whether it sits too far to the left or to the right.</summary>
    SideUnseen,

    /// <summary>Its one distance is slanting, and no reading sees it across that.</summary>
    AcrossUnseen,

    /// <summary>No reading sees whether it is turned.</summary>
    TurnUnseen,

    /// <summary>By its place an item lies where its gap does not grow.</summary>
    WrongWay,

    /// <summary>Two readings cannot be alike.</summary>
    CannotBeAlike,

    /// <summary>No coat satisfies these rules together.</summary>
    Contradiction,

    /// <summary>A rule was not compared with all others.</summary>
    NotCompared,

    /// <summary>The name of a place is likely a slip of another's.</summary>
    NearName,
}

/// <summary>
/// Looks at a standard as a whole, on every coat it speaks of: items that no reading sees in some direction, readings that grow the wrong way, rules that no
/// coat can satisfy together, places whose name is a slip of another's.
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
            findings.Add(Warn(ReviewKind.ManyCoats, [], new TextPlace(1, 1), string.Create(CultureInfo.InvariantCulture, $"there are {(all == int.MaxValue ? "very many" : all)} combinations of answers, and the first {MostCoats} were looked at"), "fewer questions, or a look at the rest by hand"));
        }

        HashSet<string> told = [], left = [];
        foreach (Dictionary<string, string> answers in Coats(standard).Take(MostCoats))
        {
            Plan plan = Plan.For(standard, answers);
            foreach (Item item in plan.Items)
            {
                if (Unseen(plan, item) is { } unseen && told.Add($"item {item.Id} {unseen.Kind}"))
                {
                    findings.Add(Warn(unseen.Kind, [item.Id], standard.PlaceOf("item", item.Id), unseen.Message, unseen.Instead));
                }
            }

            foreach ((ReviewKind kind, string[] about, string rule, string message, string instead) in WrongWays(plan))
            {
                if (told.Add($"way {message}"))
                {
                    findings.Add(Warn(kind, about, standard.PlaceOf("relation", rule), message, instead));
                }
            }

            Compared compared = Compare(plan);
            left.UnionWith(compared.Unchecked);
            if (compared.Rules.Count > 0 && told.Add($"rules {string.Join(' ', compared.Rules)}"))
            {
                string names = string.Join(" and ", compared.Rules.Select(FaultList.Quote));
                string on = Coat(standard, answers, compared.If);
                findings.Add(new Finding(
                    ReviewKind.Contradiction,
                    At(standard.PlaceOf("relation", compared.Rules[^1]), $"{names} cannot hold together{(on.Length == 0 ? "" : $" on a coat with {FaultList.Shown(on, 200)}")}", "limits that some coat can keep, or a condition on one of them"),
                    false)
                { About = compared.Rules, On = on });
            }
        }

        findings.AddRange(left.Order(StringComparer.Ordinal).Select(rule => Warn(
            ReviewKind.NotCompared, [rule], standard.PlaceOf("relation", rule), $"{FaultList.Quote(rule)} was not compared with all other rules: it hangs on too many values or choices", "a look at it by hand") with
        { IsNote = true }));
        findings.AddRange(Slips(standard));
        return [.. findings.OrderBy(finding => finding.Fault.Line).ThenBy(finding => finding.Fault.Column)];
    }

    private static Finding Warn(ReviewKind kind, IReadOnlyList<string> about, TextPlace place, string message, string instead) => new(kind, At(place, message, instead), true) { About = about };

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

    private static string Coat(Standard standard, Dictionary<string, string> answers, IReadOnlyList<ConditionPart.ValueIs> values)
    {
        IEnumerable<string> said = standard.Questions.Select(question => $"{question.Id} = {answers[question.Id]}");
        string where = string.Join(" and ", values.Select(value => ConditionWords.Of(standard, value)));
        return string.Join(", ", where.Length == 0 ? said : said.Append(where));
    }

    // ---- what no reading sees -----------------------------------------------------------------------------------------------------------

    private static (ReviewKind Kind, string Message, string Instead)? Unseen(Plan plan, Item item)
    {
        Step[] steps = [.. plan.Steps.Where(step => step.Of == item.Id && step.Grows is not null)];
        string name = FaultList.Quote(item.Name), on = FaultList.Shown(plan.Standard.NameOf(item.StandsOn), 60);
        if (steps.Length == 0)
        {
            return (ReviewKind.Unseen, $"no reading sees where {name} sits", $"a line such as \"1/4 above the {on}\"");
        }

        bool across = steps.Any(step => Math.Abs(step.Grows!.Right) > Small), upright = steps.Any(step => Math.Abs(step.Grows!.Up) > Small);
        if (!across || !upright)
        {
            return across
                ? (ReviewKind.HeightUnseen, $"no reading sees whether {name} sits too high or too low", $"a line such as \"1/4 above the {on}\", or \"centred up and down on the {on}\"")
                : (ReviewKind.SideUnseen, $"no reading sees whether {name} sits too far to the left or to the right", $"a line such as \"centred on the {on}\"");
        }

        if (Rank(steps, item, withTurn: false) < 2)
        {
            return (ReviewKind.AcrossUnseen, $"no reading sees {name} across the slant of its one distance", $"a second distance, such as \"centred on the {on}\"");
        }

        bool canTurn = item.Pins.Distinct().Skip(1).Any();   // one pin holds no angle
        return canTurn && Rank(steps, item, withTurn: true) < 3 ? (ReviewKind.TurnUnseen, $"no reading sees whether {name} is turned", "\"level\", which reads its distance at both ends") : null;
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

    // ---- what grows the wrong way ---------------------------------------------------------------------------------------------------------

    private static readonly Length Far = Length.Inch.DividedBy(2, Rounding.HalfEven);   // places for the picture need not be exact; common practice, no source

    /// <summary>Readings whose <c>grows</c> and edge cannot both be meant: by their places the gap shrinks that way, or two readings that are to be alike cannot be.</summary>
    private static IEnumerable<(ReviewKind Kind, string[] About, string Rule, string Message, string Instead)> WrongWays(Plan plan)
    {
        CoatLayout layout = new(plan);
        foreach (Relation rule in plan.Relations)
        {
            Step[] steps = [.. rule.Of.Select(plan.FindStep).OfType<Step>().Where(step => step.Grows is not null && plan.Standard.FindItem(step.Of) is not null)];
            foreach (Step step in steps.Where(step => Faces(plan, layout, step) == false))
            {
                yield return (ReviewKind.WrongWay, [step.Id], rule.Id, $"{FaultList.Quote(step.Id)} grows {step.Grows!.Name}, but by its place {FaultList.Quote(plan.Standard.NameOf(step.Of))} lies on the other side of the {FaultList.Shown(plan.Standard.NameOf(step.From), 60)}", $"grows = \"{DirectionText.Opposite(step.Grows)}\", or another place of the item");
            }

            foreach (Step other in rule.Kind.ComparesReadings ? steps.Skip(1) : [])
            {
                if (Unlike(plan, layout, steps[0], other) is { } repair)
                {
                    yield return (ReviewKind.CannotBeAlike, [steps[0].Id, other.Id], rule.Id, $"{FaultList.Quote(steps[0].Id)} and {FaultList.Quote(other.Id)} cannot be alike: by the edges they read and the way they grow, one of them runs across the item", repair);
                }
            }
        }
    }

    /// <summary>False where the item lies wholly on the side that its gap grows away from; null where the places do not tell.</summary>
    private static bool? Faces(Plan plan, CoatLayout layout, Step step)
    {
        if (step.From == step.Of || Extent(plan, layout, step.From, step.Grows!) is not { } from || layout.Between(step.From, step.Of) is null || Extent(plan, layout, step.Of, step.Grows!) is not { } of)
        {
            return null;
        }

        return of.High > from.Low;
    }

    // From where to where a thing reaches along a direction.
    private static (double Low, double High)? Extent(Plan plan, CoatLayout layout, string thing, Direction along)
    {
        CoatPlace place = layout.Of(thing);
        if (place.Size == default && !CoatLayout.IsCorner(thing))
        {
            return null;   // how far it reaches is not told
        }

        double centre = (along.Right * place.Centre.Right.Nanometres) + (along.Up * place.Centre.Up.Nanometres);
        double half = ((Math.Abs(along.Right) * place.Size.Right.Nanometres) + (Math.Abs(along.Up) * place.Size.Up.Nanometres)) / 2;
        return (centre - half, centre + half);
    }

    /// <summary>What would let two readings be alike that cannot be, by their places; null where they can, or where nothing simple would.</summary>
    private static string? Unlike(Plan plan, CoatLayout layout, Step one, Step other)
    {
        if (Readings(plan, layout, one) is not { } a || Readings(plan, layout, other) is not { } b || Nearest(a, b) is not { } apart || apart.Apart <= Far.Nanometres)
        {
            return null;
        }

        IEnumerable<(Step Old, Step New, string Words)> repairs = new[] { other, one }.SelectMany(step => ((Step, Step, string)[])
        [
            (step, step with { Grows = DirectionText.Turned(step.Grows!) }, $"grows = \"{DirectionText.Opposite(step.Grows!)}\" for {FaultList.Quote(step.Id)}"),
            (step, step with { At = new PlanePoint(step.Grows!.Right == 0 ? step.At.Right : -step.At.Right, step.Grows.Up == 0 ? step.At.Up : -step.At.Up) }, $"the other edge in at for {FaultList.Quote(step.Id)}"),
        ]);
        return repairs
            .Select(repair => (repair.Words, Near: Nearest(Readings(plan, layout, repair.New) ?? [], repair.Old == one ? b : a)))
            .Where(repair => repair.Near is { } near && near.Apart <= Far.Nanometres)
            .OrderBy(repair => repair.Near!.Value.Size)
            .Select(repair => repair.Words).FirstOrDefault();
    }

    // What a reading would be where everything is in its place, from either face of the lower thing; an overlap only where nothing else is left.
    private static double[]? Readings(Plan plan, CoatLayout layout, Step step)
    {
        if (step.From == step.Of || layout.Between(step.From, step.Of) is not { } apart || (step.FromAt is null && Extent(plan, layout, step.From, step.Grows!) is null))
        {
            return null;
        }

        Direction grows = step.Grows!;
        double at = Along(apart + step.At);
        PlanePoint size = layout.Of(step.From).Size;
        double reach = ((Math.Abs(grows.Right) * size.Right.Nanometres) + (Math.Abs(grows.Up) * size.Up.Nanometres)) / 2;
        double[] all = step.FromAt is { } stated ? [at - Along(stated)] : [at - reach, at + reach];
        return Array.Exists(all, gap => gap >= 0) ? Array.FindAll(all, gap => gap >= 0) : all;

        double Along(PlanePoint point) => (grows.Right * point.Right.Nanometres) + (grows.Up * point.Up.Nanometres);
    }

    private static (double Apart, double Size)? Nearest(double[] a, double[] b) => a.SelectMany(one => b.Select(other => ((double Apart, double Size)?)(Math.Abs(one - other), Math.Abs(one) + Math.Abs(other)))).OrderBy(pair => pair!.Value.Apart > Far.Nanometres ? 1 : 0).ThenBy(pair => pair!.Value.Size).FirstOrDefault();

    // ---- rules against each other ---------------------------------------------------------------------------------------------------------

    private const int MostWays = 64;         // of rules with several nominals, and of conditions on a value that hold or do not
    private const int MostValues = 4;        // values that rules hang on, on one coat

    /// <summary>A rule, or a condition on a measured value: any one of its ways will do.</summary>
    /// <param name="Rule">The rule's id; null for a condition.</param>
    /// <param name="Ways">What the readings must be.</param>
    private sealed record Claim(string? Rule, IReadOnlyList<LinearBound[]> Ways)
    {
        /// <summary>Conditions on values under which it is asked.</summary>
        internal IReadOnlyList<ConditionPart.ValueIs> If { get; init; } = [];
    }

    /// <summary>What was compared on one coat.</summary>
    /// <param name="Rules">Rules, as few as can be, that no readings at all satisfy together; empty where there are none.</param>
    /// <param name="If">The values under which they are all asked.</param>
    /// <param name="Unchecked">Rules that were left out, or taken more widely than they are written.</param>
    private sealed record Compared(IReadOnlyList<string> Rules, IReadOnlyList<ConditionPart.ValueIs> If, IReadOnlyList<string> Unchecked);

    /// <summary>
    /// Looks for rules that contradict each other, in each branch that a coat can be in: a condition on a value holds or does not. A contradiction told here is one on every coat
    /// with these answers and values.
    /// </summary>
    private static Compared Compare(Plan plan)
    {
        List<Claim> always = [.. plan.Steps.Where(step => step.Grows is null).Select(step => new Claim(null, [[new LinearBound([(step.Id, 1)], 0, double.PositiveInfinity)]]))];
        always.AddRange(plan.Relations.SelectMany(rule => rule.JudgesEach ? rule.Of.Select(step => ClaimOf(plan, rule with { Of = [step] })) : [ClaimOf(plan, rule)]));
        List<Claim> asked = always.FindAll(claim => claim.If.Count > 0);
        always.RemoveAll(claim => claim.If.Count > 0);
        ConditionPart.ValueIs[] values = [.. asked.SelectMany(claim => claim.If).Distinct().Where(value => IsSingle(plan, value)).Take(MostValues)];
        HashSet<string> left = [.. asked.Where(claim => !claim.If.All(values.Contains)).Select(claim => claim.Rule!)];
        asked.RemoveAll(claim => left.Contains(claim.Rule!));
        for (int branch = (1 << values.Length) - 1; branch >= 0; branch--)
        {
            ConditionPart.ValueIs[] hold = [.. values.Where((_, at) => (branch & (1 << at)) != 0)];
            List<Claim> known = [.. always, .. values.Select(value => ConditionOf(plan, value, hold.Contains(value)))];
            List<Claim> here = [.. known, .. asked.Where(claim => claim.If.All(hold.Contains))];
            left.UnionWith(TooMany(here));
            if (CanHold(here) || (values.Length > 0 && !CanHold(known) && CanHold(always)))
            {
                continue;   // no coat is in a branch that cannot be
            }

            for (int at = here.Count - 1; at >= 0; at--)
            {
                List<Claim> fewer = [.. here.Where((_, index) => index != at)];
                here = CanHold(fewer) ? here : fewer;
            }

            return new Compared([.. here.Select(claim => claim.Rule).OfType<string>().Distinct()], [.. here.SelectMany(claim => claim.If).Distinct()], [.. left]);
        }

        return new Compared([], [], [.. left]);
    }

    private static Claim ClaimOf(Plan plan, Relation rule) => new(rule.Id, [.. rule.Limits.SelectMany(limits => Ways(rule, limits))])
    {
        If = [.. new[] { rule.When }.Concat(rule.Needs.Select(step => plan.FindStep(step)?.When)).SelectMany(when => when?.Parts.OfType<ConditionPart.ValueIs>() ?? []).Distinct()],
    };

    private static IEnumerable<LinearBound[]> Ways(Relation rule, Limits limits) => rule.Kind.Ways(
        rule, limits.Lower?.Nanometres ?? limits.LowerNumber ?? double.NegativeInfinity, limits.Upper?.Nanometres ?? limits.UpperNumber ?? double.PositiveInfinity);

    // A condition on a rule over several readings by themselves has no one value.
    private static bool IsSingle(Plan plan, ConditionPart.ValueIs value) => plan.Relations.FirstOrDefault(rule => rule.Id == value.Relation) is { } rule && (!rule.JudgesEach || rule.Of.Count == 1);

    /// <summary>A condition that holds, or does not; beyond a limit is a little beyond it.</summary>
    private static Claim ConditionOf(Plan plan, ConditionPart.ValueIs value, bool holds)
    {
        Relation rule = plan.Relations.First(each => each.Id == value.Relation);
        double at = value.Length?.Nanometres ?? value.Number, little = rule.Kind.Dimension switch { Dimension.Length => 100, Dimension.Angle => 1e-3, Dimension.Ratio => 1e-5 };
        Comparison comparison = (value.Comparison, holds) switch
        {
            (var said, true) => said,
            (Comparison.Less, false) => Comparison.AtLeast,
            (Comparison.AtMost, false) => Comparison.More,
            (Comparison.AtLeast, false) => Comparison.Less,
            (Comparison.More, false) => Comparison.AtMost,
            _ => Comparison.Equal,
        };
        (double Low, double High)[] ranges = comparison switch
        {
            Comparison.Less => [(double.NegativeInfinity, at - little)],
            Comparison.AtMost => [(double.NegativeInfinity, at)],
            Comparison.AtLeast => [(at, double.PositiveInfinity)],
            Comparison.More => [(at + little, double.PositiveInfinity)],
            _ => holds ? [(at, at)] : [(double.NegativeInfinity, at - little), (at + little, double.PositiveInfinity)],
        };
        return new Claim(null, [.. ranges.SelectMany(range => rule.Kind.Ways(rule, range.Low, range.High))]);
    }

    // Claims over the same readings, directly or through others.
    private static List<List<Claim>> Parts(List<Claim> claims)
    {
        List<(HashSet<string> Steps, List<Claim> Claims)> parts = [];
        foreach (Claim claim in claims)
        {
            HashSet<string> steps = [.. claim.Ways.SelectMany(way => way).SelectMany(bound => bound.Terms).Select(term => term.Step)];
            (HashSet<string> Steps, List<Claim> Claims)[] touching = [.. parts.Where(part => part.Steps.Overlaps(steps))];
            parts.RemoveAll(touching.Contains);
            parts.Add(([.. touching.SelectMany(part => part.Steps), .. steps], [.. touching.SelectMany(part => part.Claims), claim]));
        }

        return [.. parts.Select(part => part.Claims)];
    }

    // Claims with few ways first; what would make very many ways together is left out.
    private static (List<Claim> Taken, IEnumerable<Claim> Left) Few(List<Claim> part)
    {
        List<Claim> taken = [];
        int count = 1;
        foreach (Claim claim in part.OrderBy(claim => claim.Ways.Count).Where(claim => count * claim.Ways.Count <= MostWays))
        {
            count *= claim.Ways.Count;
            taken.Add(claim);
        }

        return (taken, part.Except(taken));
    }

    private static IEnumerable<string> TooMany(List<Claim> claims) => Parts(claims).SelectMany(part => Few(part).Left).Select(claim => claim.Rule).OfType<string>();

    // Of claims with several ways some choice must do.
    private static bool CanHold(List<Claim> claims) => Parts(claims).TrueForAll(part =>
    {
        IEnumerable<LinearBound[]> ways = [[]];
        foreach (Claim claim in Few(part).Taken)
        {
            ways = ways.SelectMany(way => claim.Ways.Select(bounds => (LinearBound[])[.. way, .. bounds]));
        }

        return ways.Any(LinearBounds.CanHold);
    });

    // ---- names ----------------------------------------------------------------------------------------------------------------------------

    // A place that has no line of its own came into being by being named: by its near name it is more likely a slip.
    private static IEnumerable<Finding> Slips(Standard standard) => standard.Landmarks
        .Where(place => place.At is null && place.Size is null)
        .SelectMany(place => standard.Landmarks
            .Where(other => NearestName.IsNear(place.Name, other.Name) && WithoutDigits(place.Name) != WithoutDigits(other.Name) && (other.At is not null || other.Size is not null || string.CompareOrdinal(other.Name, place.Name) < 0))
            .Take(1)
            .Select(other => Warn(ReviewKind.NearName, [place.Name, other.Name], standard.PlaceOf("landmark", place.Name), $"the place {FaultList.Quote(place.Name)} is near in name to {FaultList.Quote(other.Name)}", $"\"{FaultList.Shown(other.Name, 80)}\", or names that differ more")));

    private static string WithoutDigits(string name) => string.Concat(name.Where(c => !char.IsAsciiDigit(c)));
}
