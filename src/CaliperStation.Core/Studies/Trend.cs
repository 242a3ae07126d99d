namespace CaliperStation.Core.Studies;

/// <summary>What a series is of.</summary>
public enum TrendOf
{
    /// <summary>One step: the deviation of its reading from its nominal.</summary>
    Step,

    /// <summary>A rule over several steps: the deviation of its value from what it aims at; of two that are to be equal, the first less the second.</summary>
    Rule,

    /// <summary>An item: the mean deviation of its steps in one coat.</summary>
    Item,
}

/// <summary>One deviation of a coat.</summary>
/// <param name="Of">What it is of.</param>
/// <param name="Id">The step or the rule.</param>
/// <param name="Item">The item the step is read on; null for a rule over several.</param>
/// <param name="DeviationNanometres">How much more than the nominal.</param>
/// <param name="IsPlacement">True for a step from one thing to another: its deviation counts for the item too; a size of the item itself does not.</param>
/// <param name="FirstTimeRight">Within, and no reading of it withdrawn or made stale; null where the record does not keep that (schemas before 3).</param>
/// <param name="Hand">Whose reading it is; null where several hands took part.</param>
public readonly record struct TrendValue(TrendOf Of, string Id, string? Item, double DeviationNanometres, bool IsPlacement, bool? FirstTimeRight, string? Hand);

/// <summary>What a trend takes of one filed sitting.</summary>
/// <param name="Record">The record's id.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Standard">Name of the standard.</param>
/// <param name="Edition">Its edition.</param>
/// <param name="Sha256">Hash of its exact text.</param>
/// <param name="Closed">When it was signed.</param>
/// <param name="FirstReading">When the first reading was taken, also one withdrawn since; null where there is none.</param>
/// <param name="FirstTimeRight">All within, nothing set aside, moved, withdrawn or made stale; null where the record does not keep that.</param>
/// <param name="Repins">How many items were moved, each time counted.</param>
/// <param name="Hand">The one hand that measured all of it; null where several took part.</param>
/// <param name="Values">Its deviations.</param>
public sealed record TrendCoat(
    string Record, string Tag, string Standard, string Edition, string Sha256, DateTimeOffset Closed, DateTimeOffset? FirstReading, bool? FirstTimeRight, int Repins, string? Hand, IReadOnlyList<TrendValue> Values);

/// <summary>What is wanted of a trend; null lets everything through.</summary>
/// <param name="Step">Only this step, or rule.</param>
/// <param name="Item">Only this item and its steps.</param>
/// <param name="Hand">Only what this hand read, and the coats it measured alone; in upper or lower case.</param>
/// <param name="Standard">Only standards of this name.</param>
/// <param name="Since">Signed at this instant or later.</param>
/// <param name="Until">Signed before this instant.</param>
public sealed record TrendFilter(string? Step = null, string? Item = null, string? Hand = null, string? Standard = null, DateTimeOffset? Since = null, DateTimeOffset? Until = null)
{
    /// <summary>True when a coat signed then, by that standard, is wanted.</summary>
    public bool Wants(DateTimeOffset closed, string standard) =>
        (Since is not { } since || closed >= since) && (Until is not { } until || closed < until) && (Standard is null || Standard == standard);

    internal bool WantsHand(string? hand) => Hand is null || string.Equals(Hand.Trim(), hand?.Trim(), StringComparison.OrdinalIgnoreCase);

    internal bool Wants(TrendValue value) => (Step is null || Step == value.Id) && (Item is null || Item == value.Item) && WantsHand(value.Hand);
}

/// <summary>One point of a series.</summary>
/// <param name="At">When the coat was signed.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Record">The record.</param>
/// <param name="DeviationNanometres">The deviation.</param>
public readonly record struct TrendPoint(DateTimeOffset At, string Tag, string Record, double DeviationNanometres);

/// <summary>How often something was right the first time.</summary>
/// <param name="Right">How often it was.</param>
/// <param name="Of">Of how many; those whose record does not keep it are left out.</param>
public readonly record struct FirstTimeRate(long Right, long Of)
{
    /// <summary>The share, 0 to 1; null where there is none.</summary>
    public double? Share => Of == 0 ? null : (double)Right / Of;

    internal FirstTimeRate With(bool? right) => right is { } known ? new(Right + (known ? 1 : 0), Of + 1) : this;
}

/// <summary>One series over the coats of a standard.</summary>
public sealed class TrendSeries
{
    internal TrendSeries(TrendOf of, string id, string? item, long count, FirstTimeRate firstTime, IReadOnlyList<TrendPoint> points)
    {
        (Of, Id, Item, Count, FirstTime, Points) = (of, id, item, count, firstTime, points);
        Chart = ControlChart.Of([.. points.Select(point => point.DeviationNanometres)]);
        Ewma = Chart.Limits is { } limits ? EwmaChart.Of(Chart.Values, limits.Centre, Chart.Sigma) : null;
    }

    /// <summary>What it is of.</summary>
    public TrendOf Of { get; }

    /// <summary>The step, rule or item.</summary>
    public string Id { get; }

    /// <summary>The item of a step; of an item itself; null for a rule.</summary>
    public string? Item { get; }

    /// <summary>How many deviations there are.</summary>
    public long Count { get; }

    /// <summary>How often it was right the first time; of an item nothing is counted.</summary>
    public FirstTimeRate FirstTime { get; }

    /// <summary>The newest of them, in the order they were filed; these are charted.</summary>
    public IReadOnlyList<TrendPoint> Points { get; }

    /// <summary>The individuals chart of the points, in nanometres.</summary>
    public ControlChart Chart { get; }

    /// <summary>The moving average about the same mean; null where the chart has no limits.</summary>
    public EwmaChart? Ewma { get; }

    /// <summary>Signals that end among the newest <see cref="Trend.Lately"/> points: what is out now, and not what once was.</summary>
    public IEnumerable<RunSignal> Now => Chart.Signals.Where(signal => signal.Last >= Points.Count - Trend.Lately);

    /// <summary>True when a rule of the chart holds lately, or the newest moving average is beyond its limits.</summary>
    public bool IsOut => Now.Any() || Ewma is { IsOut: true };

    /// <summary>
    /// How far the mean is off the nominal, when that is more than three standard errors, s/√n: chance hardly explains it; else null. The bound is that of the charts.
    /// </summary>
    public double? Offset => Chart.Limits is { Centre: var mean } && Math.Abs(mean) > 3 * Chart.Sigma / Math.Sqrt(Points.Count) ? mean : null;
}

/// <summary>A calendar month of a standard, in UTC.</summary>
/// <param name="Year">The year.</param>
/// <param name="Month">The month, from 1.</param>
/// <param name="Coats">Sittings signed in it.</param>
/// <param name="FirstTime">How many of them were right the first time.</param>
/// <param name="Repins">Items moved in them.</param>
/// <param name="MedianMinutes">From the first reading to the signature, the middle one in whole minutes; null where no coat says it.</param>
public sealed record TrendMonth(int Year, int Month, long Coats, FirstTimeRate FirstTime, long Repins, int? MedianMinutes)
{
    /// <summary>Re-pins a coat.</summary>
    public double RepinsACoat => (double)Repins / Coats;
}

/// <summary>The coats of one standard in one edition: others are never in the same chart.</summary>
/// <param name="Standard">Name of the standard.</param>
/// <param name="Edition">Its edition.</param>
/// <param name="Texts">How many different texts of that edition the coats were judged by.</param>
/// <param name="LastSha256">Hash of the text of the newest coat.</param>
/// <param name="Whole">All months together.</param>
/// <param name="Months">By month, the oldest first.</param>
/// <param name="Series">The charts: steps in the order they were first met, then rules, then items.</param>
public sealed record TrendGroup(string Standard, string Edition, int Texts, string LastSha256, TrendMonth Whole, IReadOnlyList<TrendMonth> Months, IReadOnlyList<TrendSeries> Series)
{
    /// <summary>How many of its charts chance alone calls out at any time, at least.</summary>
    public double OutByChance => Series.Count(series => series.Chart.Limits is not null) * Trend.Lately / ControlChart.FalseAlarmEvery;
}

/// <summary>What drifts: gathers coats one at a time, in the order they were filed. What it holds does not grow with the number of coats.</summary>
/// <remarks>Of each series the newest <see cref="Newest"/> points are kept and charted; counts, rates and times are of all coats.</remarks>
public sealed class Trend(TrendFilter filter)
{
    /// <summary>How many points of a series are charted.</summary>
    public const int Newest = 200;

    /// <summary>A signal that ends within so many of the newest points is told as one of now: the longest one-sided run is as long.</summary>
    public const int Lately = 8;

    private readonly Dictionary<(string Standard, string Edition), Gathered> _groups = [];

    /// <summary>How many coats were taken.</summary>
    public long Coats { get; private set; }

    /// <summary>Takes the next coat; one that the filter does not want changes nothing.</summary>
    public void Add(TrendCoat coat)
    {
        ArgumentNullException.ThrowIfNull(coat);
        if (!filter.Wants(coat.Closed, coat.Standard))
        {
            return;
        }

        IReadOnlyList<TrendValue> values = filter is { Step: null, Item: null, Hand: null } ? coat.Values : [.. coat.Values.Where(filter.Wants)];
        bool whole = filter.WantsHand(coat.Hand);
        if (values.Count == 0 && (!whole || filter.Step is not null || filter.Item is not null))
        {
            return;
        }

        Coats++;
        if (!_groups.TryGetValue((coat.Standard, coat.Edition), out Gathered? group))
        {
            group = _groups[(coat.Standard, coat.Edition)] = new Gathered();
        }

        group.Add(coat, values, whole, filter.Step is null);
    }

    /// <summary>What was gathered: standards by name and edition.</summary>
    public IReadOnlyList<TrendGroup> Groups() =>
    [
        .. _groups.OrderBy(group => group.Key.Standard, StringComparer.Ordinal).ThenBy(group => group.Key.Edition, StringComparer.Ordinal)
            .Select(group => group.Value.ToGroup(group.Key.Standard, group.Key.Edition)),
    ];

    private sealed class Gathered
    {
        private readonly HashSet<string> _texts = [];
        private readonly OrderedDictionary<(TrendOf Of, string Id), Ring> _series = [];
        private readonly SortedDictionary<int, Times> _months = [];   // by year × 12 + month
        private readonly Times _whole = new();
        private readonly OrderedDictionary<string, (double Sum, int Count)> _items = [];   // of one coat
        private string _last = "";

        internal void Add(TrendCoat coat, IReadOnlyList<TrendValue> values, bool whole, bool items)
        {
            _texts.Add(_last = coat.Sha256);
            if (whole)
            {
                int month = (coat.Closed.UtcDateTime.Year * 12) + coat.Closed.UtcDateTime.Month - 1;
                if (!_months.TryGetValue(month, out Times? times))
                {
                    times = _months[month] = new Times();
                }

                times.Add(coat);
                _whole.Add(coat);
            }

            _items.Clear();
            foreach (TrendValue value in values)
            {
                Take(value.Of, value.Id, value.Item, value.DeviationNanometres, value.FirstTimeRight, coat);
                if (items && value is { Of: TrendOf.Step, IsPlacement: true, Item: { } item })
                {
                    (double sum, int count) = _items.GetValueOrDefault(item);
                    _items[item] = (sum + value.DeviationNanometres, count + 1);
                }
            }

            foreach ((string item, (double sum, int count)) in _items)
            {
                Take(TrendOf.Item, item, item, sum / count, null, coat);
            }
        }

        internal TrendGroup ToGroup(string standard, string edition) => new(
            standard, edition, _texts.Count, _last, _whole.ToMonth(0),
            [.. _months.Select(month => month.Value.ToMonth(month.Key))],
            [.. _series.OrderBy(series => series.Key.Of).Select(series => series.Value.ToSeries(series.Key.Of, series.Key.Id))]);

        private void Take(TrendOf of, string id, string? item, double deviation, bool? right, TrendCoat coat)
        {
            if (!_series.TryGetValue((of, id), out Ring? ring))
            {
                _series[(of, id)] = ring = new Ring();
            }

            ring.Add(item, new TrendPoint(coat.Closed, coat.Tag, coat.Record, deviation), right);
        }
    }

    /// <summary>The newest points of a series, the next one written over the oldest.</summary>
    private sealed class Ring
    {
        private readonly List<TrendPoint> _points = [];
        private long _count;
        private FirstTimeRate _firstTime;
        private string? _item;

        internal void Add(string? item, TrendPoint point, bool? right)
        {
            if (_points.Count < Newest)
            {
                _points.Add(point);
            }
            else
            {
                _points[(int)(_count % Newest)] = point;
            }

            _count++;
            _item = item;
            _firstTime = _firstTime.With(right);
        }

        internal TrendSeries ToSeries(TrendOf of, string id)
        {
            int oldest = _count > Newest ? (int)(_count % Newest) : 0;
            return new TrendSeries(of, id, _item, _count, _firstTime, [.. _points.Skip(oldest), .. _points.Take(oldest)]);
        }
    }

    /// <summary>Counts of coats and how long they took, by whole minutes up to a day; longer ones count as a day.</summary>
    private sealed class Times
    {
        private const int MostMinutes = 24 * 60;

        private readonly SortedDictionary<int, long> _minutes = [];   // how many coats took so long
        private long _coats;
        private long _repins;
        private long _timed;
        private FirstTimeRate _firstTime;

        internal void Add(TrendCoat coat)
        {
            _coats++;
            _repins += coat.Repins;
            _firstTime = _firstTime.With(coat.FirstTimeRight);
            if (coat.FirstReading is { } first && coat.Closed >= first)
            {
                int minutes = (int)Math.Min((coat.Closed - first).TotalMinutes, MostMinutes);
                _minutes[minutes] = _minutes.GetValueOrDefault(minutes) + 1;
                _timed++;
            }
        }

        internal TrendMonth ToMonth(int month) => new(month / 12, (month % 12) + 1, _coats, _firstTime, _repins, Median());

        private int? Median()
        {
            long before = 0;
            foreach ((int minutes, long coats) in _minutes)
            {
                before += coats;
                if (2 * before >= _timed)
                {
                    return minutes;
                }
            }

            return null;
        }
    }
}
