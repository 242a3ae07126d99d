using System.Globalization;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Standards;
using Xunit.Abstractions;

namespace CaliperStation.Core.Tests.Correcting;

/// <summary>
/// The measure of advice: whole coats of the demonstration standard, measured, moved as advised and measured again until signed,
/// beside an ideal hand that knows where every item lies and asks no advice.
/// </summary>
/// <remarks>
/// Places are off by N(0, 1.5 mm) right and up and by N(0, 6 mrad); a reading by N(0, 0.08 mm); a pin that is moved lands off by
/// N(0, 0.1 mm) right and up. Both hands answer the same prompts on the same coats. The ideal hand sets an item exactly where it belongs
/// as soon as it is told to be outside, or is borderline and truly outside; what truly lies within it reads again until the bench can
/// tell. The advised hand reads a borderline step three times and then asks for a move.
/// </remarks>
public sealed class SixtyCoatsTests(ITestOutputHelper output)
{
    private const int Coats = 60;
    private const double PlaceNoise = 1_500_000;
    private const double TurnNoise = 0.006;
    private const double HandNoise = 80_000;
    private const double MoveNoise = 100_000;
    private const int TakesThatHelp = 3;
    private const int MaxTakes = 40;   // of the ideal hand: what truly lies on a limit is borderline for ever

    private static readonly Length Resolution = Length.FromMicrometres(10);

    [Theory]
    [InlineData("no")]
    [InlineData("yes")]
    public void Advice_needs_few_more_pins_and_readings_than_a_hand_that_knows_every_place(string spark)
    {
        Standard standard = StandardFiles.Loaded(StandardFiles.Text("harbour-lantern.toml"));
        Plan plan = Plan.For(standard, new Dictionary<string, string> { ["spark"] = spark });
        List<Work> ideal = [];
        List<Work> advised = [];
        for (int coat = 0; coat < Coats; coat++)
        {
            ideal.Add(new Work(plan, coat).Finish(byAdvice: false));
            advised.Add(new Work(plan, coat).Finish(byAdvice: true));
        }

        double Moves(List<Work> works) => works.Average(work => work.ItemsMoved);
        double Takes(List<Work> works) => works.Average(work => work.TakesTaken);
        string Line(string name, List<Work> works) => string.Create(
            CultureInfo.InvariantCulture,
            $"spark {spark}, {name}: {Moves(works):0.00} re-pins, {Takes(works):0.0} readings a coat; {works.Count(work => work.View.IsVerified)} verified, {works.Count(work => !work.View.IsVerified)} set aside");
        output.WriteLine(Line("ideal", ideal));
        output.WriteLine(Line("advised", advised));
        foreach (string words in advised.SelectMany(work => work.Asides))
        {
            output.WriteLine(words);
        }

        Assert.All(advised, work => Assert.True(work.View.IsVerified || work.Asides.Count > 0));
        Assert.All(advised.SelectMany(work => work.Asides), words => Assert.NotEqual("", words));
        Assert.InRange(Moves(advised), 0, 1.15 * Moves(ideal));
        Assert.InRange(Takes(advised), 0, 1.3 * Takes(ideal));
    }

    /// <summary>A coat with a device that is read aslant and pinned cornerwise, in a tolerance of 1/32 in: also there nearly every item is moved once.</summary>
    [Fact]
    public void A_coat_with_readings_aslant_comes_to_its_end_with_few_moves()
    {
        Plan plan = Blouse.AllSeen().Plan();
        List<Work> works = [];
        for (int coat = 0; coat < Coats; coat++)
        {
            works.Add(new Work(plan, coat, Synthetic.AllSeen(plan, new Random(coat))).Finish(byAdvice: true));
        }

        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"aslant: {works.Average(work => work.ItemsMoved):0.00} re-pins of {plan.Items.Count} items, {works.Average(work => work.TakesTaken):0.0} readings of {plan.Steps.Count} steps; {works.Count(work => work.View.IsVerified)} verified"));
        foreach (string words in works.SelectMany(work => work.Asides))
        {
            output.WriteLine(words);
        }

        Assert.All(works, work => Assert.True(work.View.IsVerified || work.Asides.Count > 0));
        Assert.InRange(works.Average(work => work.ItemsMoved), 0, 1.15 * plan.Items.Count);
    }

    /// <summary>One coat on the bench.</summary>
    private sealed class Work
    {
        private readonly Plan _plan;
        private readonly Random _random;
        private readonly Synthetic _coat;
        private int _again;
        private DateTimeOffset _now = new(2026, 1, 5, 8, 0, 0, TimeSpan.Zero);

        internal Work(Plan plan, int seed, Synthetic? coat = null)
        {
            _plan = plan;
            _random = new Random(1_000 + seed);
            _coat = coat ?? Synthetic.Lantern(plan);
            foreach (Item item in plan.Items)
            {
                _coat.Poses[item.Id] = new Pose(Synthetic.Gauss(_random) * PlaceNoise, Synthetic.Gauss(_random) * PlaceNoise, Synthetic.Gauss(_random) * TurnNoise);
            }

            View = SittingView.Of(Sitting.Begin(plan, new SittingEvent.Started("s", "HL-001", "QX", plan.Standard.Sha256, plan.Answers) { At = _now }));
        }

        internal SittingView View { get; private set; }

        internal int ItemsMoved { get; private set; }

        internal int TakesTaken { get; private set; }

        internal List<string> Asides { get; } = [];

        internal Work Finish(bool byAdvice)
        {
            for (int act = 0; View.Prompt is not Prompt.Sign; act++)
            {
                Assert.True(act < 400, "the coat comes to no end");
                switch (View.Prompt)
                {
                    case Prompt.See:
                        Do(new SittingCommand.Confirm());
                        break;
                    case Prompt.Read { Again: { } again } read when byAdvice ? Takes(read.Step) >= TakesThatHelp : !IsTrulyWithin(again) || Takes(read.Step) >= MaxTakes:
                        Put(byAdvice, [again]);
                        break;
                    case Prompt.Read read:
                        Do(new SittingCommand.Take(Reading(read.Step)));
                        TakesTaken++;
                        break;
                    case Prompt.Decide decide when !byAdvice && _again < MaxTakes && decide.Outside.All(judgement => judgement.Verdict == Verdict.Borderline && IsTrulyWithin(judgement)):
                        _again++;   // it knows that nothing is to be moved: it reads anew until the bench can tell
                        Do(new SittingCommand.Retake(decide.Outside[0].Steps[^1]));
                        break;
                    case Prompt.Decide decide:
                        Put(byAdvice, decide.Outside);
                        break;
                }
            }

            return this;
        }

        private int Takes(Step step) => View.State.Readings[step.Id].Takes.Length;

        private bool IsTrulyWithin(Judgement judgement) => Judge
            .Relation(_plan.Standard, judgement.Relation, step => new Measured(ExactLength.From(Length.FromNanometres(_coat.True(_plan.FindStep(step)!), Rounding.HalfEven)), 0))
            .Where(truly => truly.Steps.SequenceEqual(judgement.Steps))
            .All(truly => truly.Verdict == Verdict.Within);

        private void Put(bool byAdvice, IReadOnlyList<Judgement> notWithin)
        {
            if (byAdvice)
            {
                ByAdvice(notWithin.Where(judgement => judgement.Verdict == Verdict.Borderline).Select(judgement => judgement.Relation.Id).ToHashSet());
            }
            else
            {
                Ideally(notWithin);
            }
        }

        private void ByAdvice(IReadOnlySet<string> alsoWanted)
        {
            Dictionary<string, Measured> readings = _plan.Steps.Where(step => View.State.Counts(step.Id)).ToDictionary(step => step.Id, step => View.State.Measured(step.Id)!.Value);
            Advice advice = Advise.For(_plan, readings, CorrectingSettings.For(_plan.Standard), alsoWanted);
            if (advice.Wanted.Count > 0)
            {
                foreach (Step step in advice.Wanted.Select(id => _plan.FindStep(id)!))
                {
                    Do(new SittingEvent.Took(step.Id, Reading(step)) { At = _now });
                    TakesTaken++;
                }
            }
            else if (advice.Moves.Count > 0)
            {
                foreach (ItemMove move in advice.Moves)
                {
                    Move(move.Item, [.. move.Pins.Select(pin => ((double)pin.Right.Nanometres, (double)pin.Up.Nanometres))]);
                }

                Do(new SittingCommand.Move([.. advice.Moves.Select(move => move.Item)]));
            }
            else
            {
                string words = string.Join("; ", advice.Conflicts.DefaultIfEmpty("no move helps"));
                Asides.Add(words);
                Do(new SittingCommand.Aside(words));
            }
        }

        /// <summary>Sets the lowest item that a failing rule speaks of exactly where it belongs; which readings are there does not matter.</summary>
        private void Ideally(IReadOnlyList<Judgement> notWithin)
        {
            string id = notWithin.Select(judgement => _plan.FindStep(judgement.Steps[0])!.Of).First();
            Item item = _plan.Items.First(each => each.Id == id);
            Pose lower = _coat.Poses.GetValueOrDefault(item.StandsOn);
            double half = _plan.Items.FirstOrDefault(each => each.Id == item.StandsOn)?.Size.Up.Nanometres / 2.0 ?? 0;
            Pose there = new(lower.Right - (lower.Turn * half), lower.Up, item.Pins.Count > 1 ? lower.Turn : _coat.Poses[id].Turn);   // beside its ends, as high at both pins
            Pose here = _coat.Poses[id];
            double turn = there.Turn - here.Turn;
            Move(id, [.. item.Pins.Select(pin => (there.Right - here.Right - (turn * pin.Up.Nanometres), there.Up - here.Up + (turn * pin.Right.Nanometres)))]);
            Do(new SittingCommand.Move([id]));
        }

        /// <summary>Moves the pins of an item by these nanometres, each that moves with the hand's noise.</summary>
        private void Move(string item, (double Right, double Up)[] pins)
        {
            Length Landed(double wanted) => Length.FromNanometres(wanted + (Synthetic.Gauss(_random) * MoveNoise), Rounding.HalfEven);
            _coat.Apply(new ItemMove(
                item,
                [.. pins.Select((pin, k) => pin == (0, 0) ? new PinMove(k, Length.Zero, Length.Zero, "") { Name = "pin" } : new PinMove(k, Landed(pin.Right), Landed(pin.Up), "") { Name = "pin" })],
                [], [], []));
            ItemsMoved++;
        }

        private Reading Reading(Step step)
        {
            double read = _coat.True(step) + (Synthetic.Gauss(_random) * HandNoise);
            Length shown = Resolution.Times((long)Math.Round(read / Resolution.Nanometres));
            return new Reading(shown, LengthUnit.Millimetre, Resolution, ReadingSource.Typed, _now, "");
        }

        private void Do(SittingCommand command)
        {
            Decision decision = Sitting.Decide(View, command, _now);
            Assert.Null(decision.Refusal);
            foreach (SittingEvent happened in decision.Events)
            {
                Do(happened);
            }
        }

        private void Do(SittingEvent happened)
        {
            _now = _now.AddSeconds(10);
            View = SittingView.Of(Sitting.Apply(View.State, happened));
        }
    }
}
