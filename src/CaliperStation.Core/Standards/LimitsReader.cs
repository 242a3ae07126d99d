using System.Numerics;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Standards;

/// <summary>Reads what a relation allows: a nominal with its tolerance, a range, or several nominals of which any will do.</summary>
/// <param name="Read">Reads one value at a place.</param>
/// <param name="Faults">Where faults go.</param>
/// <param name="DefaultWithin">The tolerance where none is named; null: one must be named.</param>
/// <param name="Finest">The narrowest tolerance that the caliper can show.</param>
/// <param name="FinestWords">The same in words.</param>
internal sealed record LimitsReader<T>(Func<TomlNode, string, T?> Read, FaultList Faults, T? DefaultWithin, T Finest, string FinestWords)
    where T : struct, IAdditionOperators<T, T, T>, ISubtractionOperators<T, T, T>, IUnaryNegationOperators<T, T>, IComparisonOperators<T, T, bool>
{
    /// <summary>One interval.</summary>
    internal readonly record struct Band(T? Lower, T? Upper, T? Nominal, bool LowerExcluded = false, bool UpperExcluded = false);

    /// <summary>The intervals, or null after a fault. <paramref name="nominal"/> is what the kind implies, <paramref name="mayBeOpen"/> allows no limits at all.</summary>
    internal List<Band>? Bands(TableReader table, T? nominal, bool mayBeOpen)
    {
        if (table.Has("nominal") && table.Has("any-of"))
        {
            Faults.Add(table.PlaceOf("any-of"), $"{table.Label} has both nominal and any-of", "one of the two");
            return null;
        }

        List<(T Value, TomlNode Node)>? nominals = Nominals(table, nominal);
        return nominals is null ? null : nominals.Count == 0 ? Range(table, mayBeOpen) : Around(table, nominals);
    }

    /// <summary>A tolerance of one key, above 0 and not finer than the caliper shows.</summary>
    internal T? Tolerance(TableReader table, string key, bool mayBeZero = false)
    {
        if (table.Find(key)?.Node is not { } node || Read(node, key) is not { } value)
        {
            return null;
        }

        if (value < default(T) || (value == default && !mayBeZero))
        {
            Faults.Add(node.Place, $"{key} of {table.Label} is {(value == default ? "0" : "negative")}", "a tolerance above 0");
            return null;
        }

        if (value < Finest && value != default)
        {
            Faults.Add(node.Place, $"{key} of {table.Label} is finer than the caliper shows ({FinestWords})", $"{FinestWords} or more");
            return null;
        }

        return value;
    }

    private List<(T, TomlNode)>? Nominals(TableReader table, T? implied)
    {
        if (table.Find("nominal")?.Node is { } one)
        {
            return Read(one, "nominal") is { } value ? [(value, one)] : null;
        }

        if (table.Has("any-of"))
        {
            IReadOnlyList<TomlNode>? nodes = table.List("any-of", 10, "a list of nominals, [\"0\", \"1/8\"]");
            List<(T, TomlNode)> all = [.. (nodes ?? []).Select(node => (Value: Read(node, "any-of"), node)).Where(pair => pair.Value is not null).Select(pair => (pair.Value!.Value, pair.node))];
            return nodes is null || all.Count < nodes.Count || HasTwice(all) ? null : all;
        }

        return implied is { } fixedValue ? [(fixedValue, NoNode)] : [];
    }

    private bool HasTwice(List<(T Value, TomlNode Node)> all)
    {
        for (int i = 1; i < all.Count; i++)
        {
            if (all.Take(i).Any(earlier => earlier.Value == all[i].Value))
            {
                Faults.Add(all[i].Node.Place, "any-of says the same twice", "each nominal once");
                return true;
            }
        }

        return false;
    }

    private List<Band>? Range(TableReader table, bool mayBeOpen)
    {
        foreach (string key in ToleranceKeys.Where(table.Has))
        {
            Faults.Add(table.PlaceOf(key), $"{table.Label} has {key} but no nominal", "a nominal, or min and max instead");
            return null;
        }

        if (!table.Has("min") && !table.Has("max"))
        {
            if (!mayBeOpen)
            {
                Faults.Add(table.Place, $"{table.Label} has no limits", "nominal = \"1/8\", or min and max, or any-of");
            }

            return mayBeOpen ? [new Band(null, null, null)] : null;
        }

        (T? min, bool above) = Limit(table, "min");
        (T? max, bool below) = Limit(table, "max");
        bool read = (min is null) != table.Has("min") && (max is null) != table.Has("max");
        return read && IsWide(table, min, max) ? [new Band(min, max, null, above, below)] : null;
    }

    private List<Band>? Around(TableReader table, List<(T Value, TomlNode Node)> nominals)
    {
        string[] lower = [.. LowerKeys.Where(table.Has)], upper = [.. UpperKeys.Where(table.Has)];
        string? twice = lower.Length > 1 ? lower[1] : upper.Length > 1 ? upper[1] : null;
        if (twice is not null)
        {
            Faults.Add(table.PlaceOf(twice), $"{table.Label} says one limit in two ways", "within, or above with below, or min with max");
            return null;
        }

        if (nominals.Count > 1 && (table.Has("min") || table.Has("max")))
        {
            Faults.Add(table.PlaceOf(table.Has("min") ? "min" : "max"), $"{table.Label} has any-of and a range", "any-of with within, or a range alone");
            return null;
        }

        if (lower.Length + upper.Length == 1)
        {
            Faults.Add(table.PlaceOf(lower.Concat(upper).First()), $"{table.Label} has a nominal and a limit on one side only", lower.Length == 0 ? "below or min as well" : "above or max as well");
            return null;
        }

        if (lower.Length == 0 && DefaultWithin is null)
        {
            Faults.Add(table.Place, $"{table.Label} names no tolerance, and there is none to fall back on", "within = …");
            return null;
        }

        T? within = Tolerance(table, "within"), above = Tolerance(table, "above", mayBeZero: true), below = Tolerance(table, "below", mayBeZero: true);
        (T? min, bool minExcluded) = Limit(table, "min");
        (T? max, bool maxExcluded) = Limit(table, "max");
        if (lower.Concat(upper).Count(table.Has) > new[] { within, within, above, below, min, max }.Count(value => value is not null))
        {
            return null;   // one of them could not be read
        }

        List<Band> bands = [.. nominals.Select(nominal => new Band(
            min ?? (nominal.Value - (below ?? within ?? DefaultWithin!.Value)),
            max ?? (nominal.Value + (above ?? within ?? DefaultWithin!.Value)),
            nominal.Value, minExcluded, maxExcluded))];
        return bands.TrueForAll(band => Holds(table, band)) ? bands : null;
    }

    private bool Holds(TableReader table, Band band)
    {
        if (!IsWide(table, band.Lower, band.Upper))
        {
            return false;
        }

        if (band.Nominal < band.Lower || band.Nominal > band.Upper || (band.LowerExcluded && band.Nominal == band.Lower) || (band.UpperExcluded && band.Nominal == band.Upper))
        {
            Faults.Add(table.PlaceOf("nominal"), $"nominal of {table.Label} lies outside min and max", "a nominal between them");
            return false;
        }

        return true;
    }

    private bool IsWide(TableReader table, T? lower, T? upper)
    {
        if (lower is not { } low || upper is not { } high || high - low >= Finest + Finest)
        {
            return true;
        }

        string key = table.Has("max") ? "max" : table.Has("above") ? "above" : "within";
        (string message, string instead) = low > high
            ? ($"min of {table.Label} is above its max", "the smaller one as min")
            : ($"what {table.Label} allows is narrower than the caliper shows ({FinestWords} either way)", $"limits at least twice {FinestWords} apart");
        Faults.Add(table.PlaceOf(key), message, instead);
        return false;
    }

    /// <summary>What <c>min</c> or <c>max</c> says, and whether the limit itself is not allowed: <c>"&gt; 1/2"</c>, <c>"&lt; 3/8"</c>. Null when it is not there or at fault.</summary>
    internal (T? Value, bool IsExcluded) Limit(TableReader table, string key)
    {
        if (table.Find(key)?.Node is not { } node)
        {
            return (null, false);
        }

        if (ComparisonText.Split(node) is not { } compared)
        {
            return (Read(node, key), false);
        }

        (Comparison with, Comparison without, string signs) = key == "min" ? (Comparison.AtLeast, Comparison.More, ">= or >") : (Comparison.AtMost, Comparison.Less, "<= or <");
        if (compared.Comparison != with && compared.Comparison != without)
        {
            Faults.Add(node.Place, $"{key} of {table.Label} has a sign that is not its own", $"the value alone, or with {signs} before it");
            return (null, false);
        }

        return (Read(compared.Against, key), compared.Comparison == without);
    }

    private static string[] ToleranceKeys { get; } = ["within", "above", "below"];

    private static string[] LowerKeys { get; } = ["within", "below", "min"];

    private static string[] UpperKeys { get; } = ["within", "above", "max"];

    private static TomlNode NoNode { get; } = TomlTable.Empty;
}
