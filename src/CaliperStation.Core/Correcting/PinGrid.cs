using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Correcting;

/// <summary>
/// The moves a hand can do with one item's pins: each pin by whole steps. A rigid thing with two pins or more moves by three
/// whole numbers; the rest of its pins follow, to the nearest step. A thing on one pin moves by two and cannot turn.
/// </summary>
/// <remarks>
/// For pins that spread sideways the three are: right, of all; up, of the outermost left pin; up, of the outermost right
/// pin. For pins that spread upwards the same with the axes changed. Moves here are in units of
/// <see cref="Constraints.MoveUnitNanometres"/>, turns times the item's half width.
/// </remarks>
internal sealed class PinGrid
{
    private readonly (double Right, double Up)[] _pins;
    private readonly (double Right, double Up) _middle;
    private readonly double _turnScale;
    private readonly double _spread;   // Σ of squared distances from the middle
    private readonly bool _sideways;
    private readonly int _first;
    private readonly int _last;
    private readonly double _step;
    private readonly int _least;

    internal PinGrid(Item item, CorrectingSettings settings)
    {
        _pins = [.. item.Pins.Select(pin => (pin.Right.Nanometres / Constraints.MoveUnitNanometres, pin.Up.Nanometres / Constraints.MoveUnitNanometres))];
        _middle = _pins.Length == 0 ? (0, 0) : (_pins.Average(pin => pin.Right), _pins.Average(pin => pin.Up));
        _turnScale = LinearModel.TurnScale(item) / Constraints.MoveUnitNanometres;
        _spread = _pins.Sum(pin => Square(pin.Right - _middle.Right) + Square(pin.Up - _middle.Up));
        int[] byRight = [.. Enumerable.Range(0, _pins.Length).OrderBy(pin => _pins[pin].Right)];
        int[] byUp = [.. Enumerable.Range(0, _pins.Length).OrderBy(pin => _pins[pin].Up)];
        _sideways = CanTurn && _pins[byRight[^1]].Right - _pins[byRight[0]].Right >= _pins[byUp[^1]].Up - _pins[byUp[0]].Up;
        (_first, _last) = !CanTurn ? (0, 0) : _sideways ? (byRight[0], byRight[^1]) : (byUp[0], byUp[^1]);
        Step = settings.Step;
        _step = Step.Nanometres / Constraints.MoveUnitNanometres;
        _least = (int)Math.Max(1, WholeNumber.Divide(settings.SmallestMove.Nanometres, Step.Nanometres, Rounding.Up));
    }

    /// <summary>True when two pins lie apart by more than a hand's move; nearer ones hold like one.</summary>
    internal bool CanTurn => _spread > 1;

    /// <summary>One whole step.</summary>
    internal Length Step { get; }

    /// <summary>Number of pins.</summary>
    internal int Pins => _pins.Length;

    /// <summary>A move as real numbers of steps.</summary>
    internal (double A, double B, double C) Steps(double right, double up, double turn)
    {
        double theta = CanTurn ? turn / _turnScale : 0;
        double Right(double at) => (right - (theta * at)) / _step;
        double Up(double at) => (up + (theta * at)) / _step;
        return !CanTurn ? (Right(0), Up(0), 0)
            : _sideways ? (Right(_middle.Up), Up(_pins[_first].Right), Up(_pins[_last].Right))
            : (Up(_middle.Right), Right(_pins[_first].Up), Right(_pins[_last].Up));
    }

    /// <summary>The nearest whole number of steps that a hand can do.</summary>
    internal int Whole(double steps)
    {
        int near = (int)Math.Clamp(Math.Round(steps), -1e6, 1e6);   // 400 m: a move that no coat has
        return Math.Abs(near) >= _least ? near : Math.Abs(steps) * 2 < _least ? 0 : Math.Sign(steps) * _least;
    }

    /// <summary>The next number of steps up or down that a hand can do; the same for no way.</summary>
    internal int Next(int steps, int way)
    {
        int next = steps + way;
        return way == 0 ? steps : next == 0 || Math.Abs(next) >= _least ? next : Math.Abs(steps) >= _least ? 0 : way * _least;
    }

    /// <summary>Each pin's move in whole steps.</summary>
    internal void PinSteps(int a, int b, int c, Span<(int Right, int Up)> pins)
    {
        double along = !CanTurn ? 1 : _sideways ? _pins[_last].Right - _pins[_first].Right : _pins[_last].Up - _pins[_first].Up;
        double theta = CanTurn ? (c - b) / along * (_sideways ? 1 : -1) : 0;
        for (int k = 0; k < _pins.Length; k++)
        {
            (double right, double up) = _pins[k];
            pins[k] = !CanTurn ? (a, b)
                : _sideways ? (Done(a - (theta * (up - _middle.Up))), Done(b + (theta * (right - _pins[_first].Right))))
                : (Done(b - (theta * (up - _pins[_first].Up))), Done(a + (theta * (right - _middle.Right))));
        }
    }

    /// <summary>The rigid move nearest to the pins' whole steps.</summary>
    internal (double Right, double Up, double Turn) Rigid(ReadOnlySpan<(int Right, int Up)> pins)
    {
        if (pins.Length == 0)
        {
            return (0, 0, 0);
        }

        (double right, double up, double theta) = (0, 0, 0);
        for (int k = 0; k < pins.Length; k++)
        {
            (double moveRight, double moveUp) = (pins[k].Right * _step, pins[k].Up * _step);
            right += moveRight / pins.Length;
            up += moveUp / pins.Length;
            theta += ((_pins[k].Right - _middle.Right) * moveUp) - ((_pins[k].Up - _middle.Up) * moveRight);
        }

        theta = CanTurn ? theta / _spread : 0;
        return (right + (theta * _middle.Up), up - (theta * _middle.Right), theta * _turnScale);
    }

    /// <summary>The nearest step; one smaller than a hand can do is left out.</summary>
    private int Done(double steps)
    {
        int near = (int)Math.Clamp(Math.Round(steps), -1e6, 1e6);
        return Math.Abs(near) >= _least ? near : 0;
    }

    private static double Square(double value) => value * value;
}
