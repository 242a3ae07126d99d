using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Standards;

/// <summary>The unit of a relation's value.</summary>
public enum Dimension
{
    /// <summary>A length; numbers are nanometres.</summary>
    Length,

    /// <summary>An angle; numbers are milliradians.</summary>
    Angle,

    /// <summary>A ratio; numbers are plain.</summary>
    Ratio,
}

/// <summary>What the readings of a kind are of.</summary>
internal enum ReadingsOf
{
    /// <summary>Gaps between two things.</summary>
    Gaps,

    /// <summary>Sizes of items.</summary>
    Sizes,

    /// <summary>Either.</summary>
    Either,
}

/// <summary>Where everything is in its place: Σ factor × reading = total, in nanometres.</summary>
internal readonly record struct ReadingEquation(double Total, params (string Step, double Factor)[] Terms);

/// <summary>
/// What a relation computes from its readings: its word, its keys, how many readings, its value with its gradient, its linear equations. One file of
/// this folder for each kind; the reader, the judge, the corrector and the reports ask here, so a new kind is one new file.
/// </summary>
public abstract partial class RelationKind
{
    private static List<RelationKind>? _all;   // without an initializer: the kinds' own fields run before or after this one

    private RelationKind(string word) => Word = word;

    /// <summary>Every kind, by its word.</summary>
    public static IReadOnlyList<RelationKind> All => field ??= [.. _all!.OrderBy(kind => kind.Word, StringComparer.Ordinal)];

    /// <summary>The word that standards, records and reports write.</summary>
    public string Word { get; }

    /// <summary>The unit of its value and limits.</summary>
    public virtual Dimension Dimension => Dimension.Length;

    /// <summary>True when each of its readings is judged by itself, not all together.</summary>
    public virtual bool JudgesEach => false;

    /// <summary>True for a value that is never negative: a lower limit of 0 or below says nothing, and a value near 0 is near to no limit.</summary>
    public virtual bool IsSpread => false;

    /// <summary>How many readings it is over.</summary>
    internal abstract (int Least, int Most) Readings { get; }

    /// <summary>The keys of a standard that say something for it, beside <c>id kind of when source</c>.</summary>
    internal abstract IReadOnlyList<string> Keys { get; }

    /// <summary>What its readings are of.</summary>
    internal virtual ReadingsOf ReadingsOf => ReadingsOf.Either;

    /// <summary>True when the kind itself says its nominal: 0.</summary>
    internal virtual bool AimsAtZero => false;

    /// <summary>The upper limit where none is said; null where a limit must be said.</summary>
    internal virtual Length? ImpliedUpper => null;

    /// <summary>True when its value is taken over a distance.</summary>
    internal bool TakesSpan => Keys.Contains("span");

    /// <summary>True when it has no value without that distance.</summary>
    internal virtual bool NeedsSpan => false;

    /// <summary>True when its readings are to be as long as one another.</summary>
    internal bool ComparesReadings => !JudgesEach && AimsAtZero;

    /// <summary>In which order equations of kinds are believed, the lower first: single readings, then pairs, then sums.</summary>
    internal virtual int Rank => 0;

    /// <summary>The keys that say limits.</summary>
    private protected static string[] LimitKeys => ["nominal", "within", "above", "below", "min", "max", "any-of"];

    /// <summary>The kind of that word, or null.</summary>
    public static RelationKind? Find(string word) => All.FirstOrDefault(kind => kind.Word == word);

    /// <summary>The word.</summary>
    public override string ToString() => Word;

    /// <summary>The value with its gradient, from all the readings it needs; of a kind that holds for each, from <paramref name="each"/> only.</summary>
    /// <param name="relation">A relation of this kind.</param>
    /// <param name="each">The one step, for a kind that holds for each of its readings; else ignored.</param>
    /// <param name="span">The distance it is taken over, or null where there is none.</param>
    /// <param name="reading">What a step was read as.</param>
    /// <exception cref="ArgumentException">It needs a span and there is none: the reader of standards refuses that.</exception>
    public abstract RelationValue Value(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading);

    /// <summary>The limits its value is judged by.</summary>
    public virtual Limits Effective(Limits limits) => limits;

    /// <summary>The value as an angle over the span, in milliradians, where it is shown as one too; else null.</summary>
    public virtual double? AlsoAngle(double value, ExactLength? span) => null;

    /// <summary>The step whose reading it divides by, or null.</summary>
    internal virtual string? Divisor(Relation relation) => null;

    /// <summary>Values that are linear in the readings, with limits, which hold together exactly when the relation does; for moves.</summary>
    internal virtual IEnumerable<(RelationValue Value, IReadOnlyList<Limits> Limits)> Linear(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading) =>
        [(Value(relation, each, span, reading), relation.Limits)];

    /// <summary>What a value between two says of the readings, in the unit of the value: one of the ways, all of its sums together.</summary>
    /// <param name="relation">A relation of this kind.</param>
    /// <param name="low">The least value, or −∞.</param>
    /// <param name="high">The greatest, or ∞.</param>
    internal virtual IEnumerable<LinearBound[]> Ways(Relation relation, double low, double high) =>
        [[new LinearBound([.. Value(relation, relation.Of[0], null, _ => ExactLength.From(Length.Inch)).Gradient.Select(term => (term.Step, term.PerNanometre))], low, high)]];

    /// <summary>What its readings should be where everything is in its place; none where its limits name no place.</summary>
    /// <param name="relation">A relation of this kind.</param>
    /// <param name="span">The distance it is taken over, where it is known.</param>
    /// <param name="reading">What a step was read as, or null when it was not.</param>
    internal abstract IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading);

    /// <summary>
    /// The value to expect: of several nominals the one nearest to the present value; without a nominal the nearest limit, where the value is beyond it;
    /// null where the limits name no place.
    /// </summary>
    private protected double? Aim(Relation relation, string each, ExactLength? span, Func<string, ExactLength?> reading)
    {
        IEnumerable<string> needed = JudgesEach ? relation.AddSteps.Append(each) : relation.Needs;
        double? value = needed.All(step => reading(step) is not null) ? Value(relation, each, span, step => reading(step)!.Value).Number : null;
        List<double> nominals = [.. relation.Limits.Select(limits => limits.Nominal?.Nanometres ?? limits.NominalNumber).OfType<double>()];
        if (nominals.Count > 0)
        {
            return value is { } present ? nominals.MinBy(nominal => Math.Abs(nominal - present)) : nominals[0];
        }

        if (value is not { } now || relation.Limits.Any(limits => now >= Low(limits) && now <= High(limits)))
        {
            return null;
        }

        return relation.Limits.Select(limits => now < Low(limits) ? Low(limits) : High(limits)).MinBy(limit => Math.Abs(limit - now));
    }

    private static double Low(Limits limits) => limits.Lower?.Nanometres ?? limits.LowerNumber ?? double.NegativeInfinity;

    private static double High(Limits limits) => limits.Upper?.Nanometres ?? limits.UpperNumber ?? double.PositiveInfinity;

    private static T Known<T>(T kind)
        where T : RelationKind
    {
        (_all ??= []).Add(kind);
        return kind;
    }

    /// <summary>A kind whose value is a sum of readings, each times 1 or −1.</summary>
    private abstract class SumKind(string word) : RelationKind(word)
    {
        internal override int Rank => 3;

        public override RelationValue Value(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading) =>
            RelationValue.Sum(reading, Terms(relation));

        internal override IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading) =>
            Aim(relation, relation.Of[0], span, reading) is { } total ? [new ReadingEquation(total, [.. Terms(relation).Select(term => (term.Step, (double)term.Factor))])] : [];

        protected abstract (string Step, int Factor)[] Terms(Relation relation);
    }

    /// <summary>A kind that holds for each reading by itself.</summary>
    private abstract class EachKind(string word) : RelationKind(word)
    {
        public override bool JudgesEach => true;

        internal override (int Least, int Most) Readings => (1, int.MaxValue);

        internal override ReadingsOf ReadingsOf => ReadingsOf.Gaps;

        public override RelationValue Value(Relation relation, string each, ExactLength? span, Func<string, ExactLength> reading) =>
            RelationValue.Sum(reading, (each, 1));

        internal override IEnumerable<LinearBound[]> Ways(Relation relation, double low, double high)
        {
            double half = relation.Add.Sum(size => (double)size.Nanometres) / 2;
            return [[.. relation.Of.Select(step => new LinearBound([(step, 1), .. relation.AddSteps.Select(size => (size, 0.5))], low - half, high - half))]];
        }

        internal override IEnumerable<ReadingEquation> Equations(Relation relation, ExactLength? span, Func<string, ExactLength?> reading)
        {
            foreach (string step in relation.Of)
            {
                if (Aim(relation, step, span, reading) is { } aim)
                {
                    yield return new ReadingEquation(aim, (step, 1));
                }
            }
        }
    }
}
