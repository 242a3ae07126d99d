using System.Globalization;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Simulation;

/// <summary>Something that must hold at the bench does not.</summary>
internal sealed class SimulationFault(string what, Exception? cause = null) : Exception(what, cause);

/// <summary>How a simulated sitting went.</summary>
internal sealed record SimulationResult(long Seed, ulong Fingerprint, BenchEnd End, int Inputs, int Taken, int Cuts, int Losses, int FullDisks, bool Verified);

/// <summary>
/// One blouse worked through at the pure bench by a seeded person with a seeded caliper and disk, on one thread and a clock that only counts.
/// Everything follows from the seed.
/// </summary>
internal sealed class SimulatedSitting
{
    private const int MaxInputs = 60_000;
    private const int MaxActs = 3_000;
    private const int MaxResumes = 8;

    private static readonly DateTimeOffset Epoch = new(2026, 1, 5, 8, 0, 0, TimeSpan.Zero);
    private static readonly Standard Lantern = StandardText.Load(Standards.StandardFiles.Text("harbour-lantern.toml")).Standard!;
    private static readonly Plan[] Plans = [.. new[] { "no", "yes" }.Select(spark => Plan.For(Lantern, new Dictionary<string, string> { ["spark"] = spark }))];

    private readonly Random _random;
    private readonly long _seed;
    private readonly Plan _plan;
    private readonly SimulatedCaliper _caliper;
    private readonly SimulatedPerson _person;
    private readonly SimulatedDisk _disk;
    private readonly BenchModel _model;
    private readonly Queue<BenchInput> _posted = new();
    private readonly SittingEvent.Started _started;
    private BenchState _state;
    private TimeSpan _now = TimeSpan.FromHours(1);
    private ulong _fingerprint = 14_695_981_039_346_656_037;   // FNV-1a, 64 bits
    private readonly Action<string>? _trace;
    private bool _cut;
    private int _inputs;
    private int _resumes;

    private SimulatedSitting(long seed, bool withFaults, Action<string>? trace)
    {
        _trace = trace;
        _seed = seed;
        _random = new Random(unchecked((int)(seed ^ (seed >> 32))));
        _plan = Plans[_random.Next(Plans.Length)];
        CaliperKind kind = _random.Next(10) switch { < 5 => CaliperKind.Streaming, < 7 => CaliperKind.Asked, 7 => CaliperKind.OwnButton, 8 => CaliperKind.Keyboard, _ => CaliperKind.None };
        ReadingSource source = _random.Next(8) == 0 ? ReadingSource.Emulated : ReadingSource.Serial;
        _caliper = new SimulatedCaliper(_random, kind, source, isSound: !withFaults);
        _person = new SimulatedPerson(_random, _plan, _caliper, withFaults ? 1 : 0);
        _disk = new SimulatedDisk(_random) { IsSound = !withFaults };
        _started = new SittingEvent.Started("s", "HL-001", "QX", Lantern.Sha256, _plan.Answers) { At = Instant(_now) };
        _model = new BenchModel(_plan, Sitting.Begin(_plan, _started));
        _state = Open(null);
    }

    private Moment Now => new(_now, Instant(_now));

    /// <summary>When something happens, UTC, whole milliseconds.</summary>
    internal static DateTimeOffset Instant(TimeSpan since) => Epoch + since;

    /// <summary>Works it through; every input and effect is told to <paramref name="trace"/>.</summary>
    /// <exception cref="SimulationFault">Something that must hold does not; the message names the seed.</exception>
    internal static SimulationResult Run(long seed, bool withFaults = true, Action<string>? trace = null)
    {
        SimulatedSitting sitting = new(seed, withFaults, trace);
        try
        {
            return sitting.Run();
        }
        catch (Exception fault)
        {
            throw new SimulationFault(string.Create(CultureInfo.InvariantCulture, $"seed {seed}, input {sitting._inputs}, at {sitting._now}: {fault.Message}"), fault);
        }
    }

    private SimulationResult Run()
    {
        while (true)
        {
            while (_state.End is null)
            {
                Next();
                if (_inputs > MaxInputs || _person.Acts > MaxActs)
                {
                    throw new SimulationFault($"the sitting comes to no end; wanted is {_state.Want.Prompt}");
                }

                if (_cut)
                {
                    _cut = false;
                    _state = Resume(_random.Next(3) == 0 ? TimeSpan.FromDays(1) : TimeSpan.FromSeconds(20));
                }
            }

            if (_state.End != BenchEnd.Stopped || _state.Work.View.State.Signed is not null || _resumes++ >= MaxResumes)
            {
                break;
            }

            _state = Resume(_random.Next(4) == 0 ? TimeSpan.FromDays(1) : TimeSpan.FromMinutes(5));
        }

        return new SimulationResult(
            _seed, _fingerprint, _state.End!.Value, _inputs, _model.Taken, _disk.Cuts, _caliper.Losses, _disk.Refusals, _model.IsVerified);
    }

    private BenchState Resume(TimeSpan later)
    {
        _now += later;
        _posted.Clear();
        _disk.MakeRoom();
        SittingState state = _model.Restarted(_disk.Read(), Sitting.Begin(_plan, _started));
        return Open(new Resume(state.Tag, [.. state.Hands], Instant(_now - later), state.History.Count, later >= TimeSpan.FromDays(1), false));
    }

    /// <summary>The bench is started; a cut while it starts is seen to by the loop.</summary>
    private BenchState Open(Resume? resume)
    {
        Work work = new Work.Measuring(SittingView.Of(_model.OnDisk));
        BenchSetup setup = new() { Hand = _random.Next(4) == 0 ? "RV" : "QX", Resume = resume, KeyboardUnit = Core.Quantities.LengthUnit.Millimetre, Reasons = _random.Next(2) == 0 ? [] : ["the coat is worn", "as ordered"] };
        BenchStep step = BenchEngine.Begin(work, _caliper.Begin(_now), setup, Now);
        _person.Begin(_now);
        _state = step.State;
        _model.Begin(_now);
        Perform(null, step, step.State with { Work = work });
        return _state;
    }

    /// <summary>What is due first happens: what was posted, the caliper, the person, the tick.</summary>
    private void Next()
    {
        if (_posted.TryDequeue(out BenchInput? posted))
        {
            Do(posted);
            return;
        }

        TimeSpan tick = _now + BenchEngine.Rest(_state);
        if (_caliper.Due <= _person.Due && _caliper.Due <= tick)
        {
            _now = Later(_caliper.Due);
            if (_caliper.Next(_now) is { } seen)
            {
                Do(new BenchInput.Caliper(seen));
            }
        }
        else if (_person.Due <= tick)
        {
            _now = Later(_person.Due);
            if (_person.Next(_state, _now) is { } deed)
            {
                BenchInput? input = deed.Does(_state, _now);
                _model.Acts(deed, input, _now);
                if (input is not null)
                {
                    Do(input);
                }
            }
        }
        else
        {
            _now = tick;
            Do(new BenchInput.Tick());
        }
    }

    private TimeSpan Later(TimeSpan due) => due > _now ? due : _now;

    private void Do(BenchInput input)
    {
        _inputs++;
        _trace?.Invoke($"{_now} {input}");
        BenchState before = _state;
        BenchStep step = BenchEngine.Step(before, input, Now);
        _state = step.State;
        _model.Hears(input, _now, _person.TypedLast);
        Perform(input, step, before);
        if (!_cut)
        {
            _model.Check(input, before, _state, _now);
        }
    }

    private void Perform(BenchInput? input, BenchStep step, BenchState before)
    {
        List<SittingEvent> written = [];
        foreach (BenchEffect effect in step.Effects)
        {
            Mark(effect);
            _trace?.Invoke($"    {effect}");
            switch (effect)
            {
                case BenchEffect.Append append:
                    Written came = _disk.Append(append.Event);
                    if (came == Written.PowerCut)
                    {
                        _model.Lost(append.Event);
                        _cut = true;
                        return;
                    }

                    if (came == Written.Full)
                    {
                        BenchStep told = BenchEngine.NotWritten(before, step.State, written, "the disk is full", Now);
                        _state = told.State;
                        _model.NotWritten(told.State);
                        Perform(input, told, told.State);
                        return;
                    }

                    written.Add(append.Event);
                    _model.Acknowledged(input, before, append.Event, _disk.Last(), _now);
                    break;
                case BenchEffect.Say said:
                    _model.Said(said.Said, before, _now);
                    break;
                case BenchEffect.AskCaliper:
                    _model.Asked(_now);
                    if (!_caliper.Ask(_now))
                    {
                        _posted.Enqueue(new BenchInput.NotAsked());
                    }

                    break;
                case BenchEffect.File:
                    _model.Files();
                    File();
                    break;
                default:
                    break;
            }
        }
    }

    private void File()
    {
        if (_disk is { IsSound: false } && _random.NextDouble() < 0.05)
        {
            _posted.Enqueue(new BenchInput.NotFiled("the disk is full"));
            return;
        }

        Core.Records.Record record = RecordOfSitting.Make(((Work.Measuring)_state.Work).Sitting, new ChainPlace("c", 1, new string('0', 64)));
        _model.Filed(record);
        _posted.Enqueue(new BenchInput.Filed(record, null));
    }

    private void Mark(BenchEffect effect)
    {
        string text = effect switch
        {
            BenchEffect.Append append => SittingEventJson.Body(append.Event),
            BenchEffect.Say { Said: Said.Refused refused } => refused.Why,
            BenchEffect.Say said => said.Said.GetType().Name,
            _ => effect.GetType().Name,
        };
        foreach (char letter in text)
        {
            _fingerprint = unchecked((_fingerprint ^ letter) * 1_099_511_628_211);
        }

        _fingerprint = unchecked((_fingerprint ^ (ulong)_now.Ticks) * 1_099_511_628_211);
    }
}
